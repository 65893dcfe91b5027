import { builtDatabase } from '../databases.js';
import type { Arm } from '../interleave.js';
import { line } from '../line.js';
import type { Goal, Line, Stage } from '../stage.js';

const vehicle = 'v00000000';
const questions: readonly { args: readonly string[]; at_most?: number }[] = [
    { args: ['--help'], at_most: 100 },
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
        const lines: Line[] = [];
        for (const { args } of questions) {
            const command = bench.strutmark('--db', file, ...args);
            // The first run builds what the models' own time did not suffice for.
            const first = await bench.run(command);
            const name = args.join(' ');
            if ('problem' in first) lines.push(line('answers', name, undefined, { note: first.problem }));
            else arms.push({ name, commands: [command] });
        }
        const trials = await bench.interleave(arms, 9);
        for (const { args, at_most } of questions) {
            const name = args.join(' ');
            const trial = trials.get(name);
            if (trial === undefined) continue;
            const goals: Goal[] = at_most === undefined ? [] : [{ of: 'wall_ms', at_most }];
            lines.push(
                line('answers', name, trial, { against: 'node -e 0', baseline: trials.get('node')!, goals }),
            );
        }
        return [line('answers', 'node -e 0', trials.get('node'), { note: problem }), ...lines];
    },
} satisfies Stage;
