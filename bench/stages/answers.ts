import { builtDatabase } from '../databases.js';
import type { Arm } from '../interleave.js';
import { line } from '../line.js';
import type { Stage } from '../stage.js';

const vehicle = 'v00000000';
const questions: readonly { args: readonly string[]; at_most: number }[] = [
    { args: ['--help'], at_most: 100 },
    { args: ['slopes', '--chassis', 'c00000'], at_most: 300 },
    { args: ['slopes'], at_most: 300 },
    { args: ['drift', '--vehicle', vehicle], at_most: 300 },
    { args: ['drift'], at_most: 300 },
    { args: ['audit'], at_most: 300 },
    { args: ['advise', '--vehicle', vehicle, '--target', 'street'], at_most: 200 },
];

export default {
    name: 'answers',
    title: 'Answers from a built database, against the start of Node alone (node -e 0)',
    async run(bench) {
        const { file, problem } = await builtDatabase(bench);
        const arms: Arm[] = [{ name: 'node', commands: [{ program: process.execPath, args: ['-e', '0'] }] }];
        const problems = new Map<string, string>();
        for (const { args } of questions) {
            const command = bench.strutmark('--db', file, ...args);
            // The first run builds what the models' own time did not suffice for.
            const first = await bench.run(command);
            if ('problem' in first) problems.set(args.join(' '), first.problem);
            else arms.push({ name: args.join(' '), commands: [command] });
        }
        const trials = await bench.interleave(arms, 9);
        const lines = questions.map(({ args, at_most }) =>
            line('answers', args.join(' '), trials.get(args.join(' ')), {
                against: 'node -e 0',
                baseline: trials.get('node')!,
                goals: [{ of: 'wall_ms', at_most }],
                note: problems.get(args.join(' ')) ?? null,
            }),
        );
        return [
            line('answers', 'node -e 0', trials.get('node'), {
                note: problem === null ? null : `models: ${problem}`,
            }),
            ...lines,
        ];
    },
} satisfies Stage;
