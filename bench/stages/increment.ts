import { copyFileSync } from 'node:fs';
import { join } from 'node:path';
import { fieldOf } from '../data.js';
import { builtDatabase, loadCommand, remove } from '../databases.js';
import type { Arm } from '../interleave.js';
import { line } from '../line.js';
import type { Bench, Stage } from '../stage.js';

async function tablesOf({ data }: Bench, file: string): Promise<string[]> {
    const rows = await data.ask(
        file,
        "select table_name from duckdb_tables() where database_name = 'asked' order by 1",
    );
    return rows.map((row) => String(row.table_name));
}

/** What can be said of the rows of all tables of `one` and `other`, in whatever order. */
async function compared(bench: Bench, one: string, other: string): Promise<string> {
    const tables = await tablesOf(bench, one);
    const others = await tablesOf(bench, other);
    if (tables.join() !== others.join()) return 'not compared: the last build of one of them was stopped';
    const prints = tables.map(
        (table) =>
            `select '${table}' as name, count(*) || ' ' || coalesce(sum(hash(t)), 0) || ' ' || coalesce(bit_xor(hash(t)), 0) as print from asked."${table}" as t`,
    );
    // Loads hold times, and the marks of builds which loads they saw.
    const query = `select * from (${prints.join(' union all ')}) where name not in ('loads', 'build')`;
    const found = await bench.data.ask(one, query);
    const wanted = new Map((await bench.data.ask(other, query)).map((row) => [row.name, row.print]));
    const wrong = found.filter((row) => wanted.get(row.name) !== row.print).map((row) => String(row.name));
    return wrong.length === 0 ? 'every table the same, bit for bit' : `other rows in ${wrong.join(', ')}`;
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
        const asked = join(bench.folder, 'asked.duckdb');
        const anew = join(bench.folder, 'anew.duckdb');
        const slopes = (file: string) => [bench.strutmark('--db', file, 'slopes', '--quiet')];
        const added = await bench.data.readings(more);
        const addMore = bench.strutmark('--db', grown, 'load', '--quiet', '--later', added);
        const arms: Arm[] = [
            {
                name: 'load',
                commands: [addMore],
                prepare: () => copyFileSync(built.file, grown),
            },
            {
                name: 'slopes after',
                commands: slopes(asked),
                prepare: () => copyFileSync(grown, asked),
            },
            { name: 'after', commands: [bench.program('models', grown)] },
            {
                name: 'slopes anew',
                commands: slopes(asked),
                prepare: () => copyFileSync(whole.file, asked),
            },
            {
                name: 'anew',
                commands: [bench.program('models', anew)],
                prepare: () => copyFileSync(whole.file, anew),
            },
        ];
        const trials = await bench.interleave(arms);
        const complete = trials.get('anew')!.usages.length > 0 && trials.get('after')!.usages.length > 0;
        const rows = complete ? await compared(bench, grown, anew) : null;
        for (const file of [grown, asked, anew, whole.file]) remove(file);
        return [
            line('increment', 'all models anew', trials.get('anew')),
            line('increment', 'load of 1,000 more', trials.get('load')),
            line('increment', 'all models after it', trials.get('after'), {
                against: 'all models anew',
                baseline: trials.get('anew')!,
                note: rows,
            }),
            line('increment', 'slopes anew', trials.get('slopes anew')),
            line('increment', 'slopes after it', trials.get('slopes after'), {
                against: 'slopes anew',
                baseline: trials.get('slopes anew')!,
            }),
        ];
    },
} satisfies Stage;
