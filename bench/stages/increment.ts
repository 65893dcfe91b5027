import { copyFileSync } from 'node:fs';
import { join } from 'node:path';
import { fieldOf } from '../data.js';
import { builtDatabase, loadCommand, remove } from '../databases.js';
import type { Arm } from '../interleave.js';
import { line } from '../line.js';
import type { Bench, Stage } from '../stage.js';

/** Model tables of `one` whose rows are not, bit for bit and in whatever order, those of `other`. */
async function differing({ data }: Bench, one: string, other: string): Promise<string[]> {
    const tables = (
        await data.ask(
            one,
            "select table_name from duckdb_tables() where database_name = 'asked' and table_name in (select table_name from asked.build) order by 1",
        )
    ).map((row) => String(row.table_name));
    const prints = tables.map(
        (table) =>
            `select '${table}' as name, count(*) || ' ' || coalesce(sum(hash(t)), 0) || ' ' || coalesce(bit_xor(hash(t)), 0) as print from asked."${table}" as t`,
    );
    const query = prints.join(' union all ');
    const found = await data.ask(one, query);
    const wanted = new Map((await data.ask(other, query)).map((row) => [row.name, row.print]));
    return found.filter((row) => wanted.get(row.name) !== row.print).map((row) => String(row.name));
}

export default {
    name: 'increment',
    title: 'About 1,000 readings more (80 cars of one shop), against building everything anew',
    async run(bench) {
        const built = await builtDatabase(bench);
        if (built.problem !== null) return [line('increment', 'build', undefined, { note: built.problem })];
        const field = fieldOf(bench.size);
        const more = { vehicles: 80, chassis: field.chassis, first: field.vehicles };
        const whole = await loadCommand(bench, 'whole', field, more);
        const loaded = await bench.run(whole.command);
        if ('problem' in loaded) return [line('increment', 'load', undefined, { note: loaded.problem })];
        const grown = join(bench.folder, 'grown.duckdb');
        const anew = join(bench.folder, 'anew.duckdb');
        const addMore = bench.strutmark('--db', grown, 'load', '--quiet', await bench.data.readings(more));
        const arms: Arm[] = [
            {
                name: 'load',
                commands: [addMore],
                prepare: () => copyFileSync(built.file, grown),
            },
            { name: 'after', commands: [bench.program('models', grown)] },
            {
                name: 'anew',
                commands: [bench.program('models', anew)],
                prepare: () => copyFileSync(whole.file, anew),
            },
        ];
        const trials = await bench.interleave(arms);
        const complete = trials.get('anew')!.usages.length > 0 && trials.get('after')!.usages.length > 0;
        const wrong = complete ? await differing(bench, grown, anew) : [];
        const equal =
            wrong.length === 0 ? 'every table the same, bit for bit' : `other rows in ${wrong.join(', ')}`;
        for (const file of [grown, anew, whole.file]) remove(file);
        return [
            line('increment', 'all models anew', trials.get('anew')),
            line('increment', 'load of 1,000 more', trials.get('load')),
            line('increment', 'all models after it', trials.get('after'), {
                against: 'all models anew',
                baseline: trials.get('anew')!,
                goals: [{ of: 'wall_ratio', at_most: 0.05 }],
                note: complete ? equal : null,
            }),
        ];
    },
} satisfies Stage;
