import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fieldOf } from '../data.js';
import { loadCommand, remove } from '../databases.js';
import type { Arm } from '../interleave.js';
import { line } from '../line.js';
import { others } from '../others.js';
import type { Bench, Stage } from '../stage.js';

/** How far the slopes in the CSV file `theirs` lie from those of the database `file`. */
async function agreement({ data, sources }: Bench, file: string, theirs: string): Promise<string> {
    const query = readFileSync(join(sources, 'agreement.sql'), 'utf8').replaceAll('$file', theirs);
    const found = (await data.ask(file, query))[0] as Record<string, number>;
    const missing = found.missing_count! > 0 ? `, ${found.missing_count} missing` : '';
    return (
        `of ${found.fit_count} least-squares fits${missing} the farthest is ${found.plain_worst!.toExponential(0)} of its length off ours; ` +
        `robust fits ${found.robust_median!.toExponential(0)} in the median`
    );
}

export default {
    name: 'slopes',
    title: 'From the CSV file to the slopes, against R and Python (which check nothing and fit camber and caster only)',
    async run(bench) {
        const field = fieldOf(bench.size);
        const { command, file } = await loadCommand(bench, 'slopes', field);
        const inputs = [await bench.data.readings(field), await bench.data.kits()];
        const output = (name: string) => join(bench.folder, `slopes-${name}.csv`);
        const found = others();
        const arms: Arm[] = [
            {
                name: 'ours',
                commands: [command, bench.strutmark('--db', file, 'slopes', '--quiet')],
                prepare: () => remove(file),
            },
        ];
        for (const { name, program, script } of found) {
            if (program === null) continue;
            const args = [join(bench.sources, 'others', script), ...inputs, output(name)];
            arms.push({ name, commands: [{ program, args }] });
        }
        const trials = await bench.interleave(arms);
        const lines = [line('slopes', 'load + slopes', trials.get('ours'))];
        for (const { name, program, versions } of found) {
            const done = [trials.get('ours'), trials.get(name)].every((trial) => trial?.problem === null);
            const note = done ? await agreement(bench, file, output(name)) : null;
            lines.push(
                line('slopes', program === null ? `${name}: ${versions}` : versions, trials.get(name), {
                    against: 'load + slopes',
                    baseline: trials.get('ours')!,
                    goals: [{ of: 'wall_ratio', at_least: 10 }],
                    note: program === null ? 'not installed' : note,
                }),
            );
        }
        remove(file);
        return lines;
    },
} satisfies Stage;
