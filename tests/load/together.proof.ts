import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test, vi } from 'vitest';
import type { LoadReport } from '../../src/load/loadFiles.js';
import { type LoadBench, loadBench, loadInto } from '../support/loading.js';

/** Many small files are taken together where all of their rows are sound and new: with the same outcome as one after the other. */

const header = 'vehicle,chassis,corner,measured_at,visit,visit_kind,phase,gauge,camber_deg,note';
const row = (file: number, line: number, camber = '-1.5') =>
    `car ${file},OTTER,FL,2025-01-01T10:${10 + line},v${line},check,before,G1,${camber},`;
const rows = (file: number) => [1, 2, 3, 4].map((line) => row(file, line));
const text = (...lines: string[]) => `${[header, ...lines].join('\n')}\n`;

/** Six files: all sound, or with something at some of them. */
function files(faults: Record<number, string> = {}): [string, string][] {
    return Array.from({ length: 6 }, (_, i) => [`${i}.csv`, faults[i] ?? text(...rows(i))]);
}

async function load(bench: LoadBench, names: readonly string[]): Promise<LoadReport> {
    return loadInto(
        bench.db,
        join(bench.folder, '..'),
        names.map((name) => join(bench.folder, name)),
    );
}

async function contents(bench: LoadBench) {
    const short = (name: string) => `replace(${name}, '${bench.folder}/', '') as ${name}`;
    return {
        readings: await bench.db.cells(
            `select * replace (${short('source_file')}) from readings order by load_id, source_line`,
        ),
        rejects: await bench.db.cells(
            `select * replace (${short('file')}, ${short('reason')}) from rejects order by all`,
        ),
        loads: await bench.db.cells(
            `select * exclude (loaded_at) replace (${short('file')}, ${short('path')}) from loads order by load_id`,
        ),
    };
}

/** Loads the files together and one after the other, and compares; returns how many transactions the former took. */
async function same(given: readonly [string, string][]): Promise<number> {
    const [together, alone] = [await loadBench(), await loadBench()];
    for (const bench of [together, alone]) {
        for (const [name, content] of given) writeFileSync(join(bench.folder, name), content);
    }
    const short = ({ rows, refused }: LoadReport, { folder }: LoadBench) =>
        JSON.parse(JSON.stringify({ rows, refused }).replaceAll(`${folder}/`, '')) as LoadReport;
    const transactions = vi.spyOn(together.db, 'transaction');
    const one = short(
        await load(
            together,
            given.map(([name]) => name),
        ),
        together,
    );
    const count = transactions.mock.calls.length;
    const other: Pick<LoadReport, 'rows' | 'refused'> = { rows: [], refused: [] };
    for (const [name] of given) {
        const report = short(await load(alone, [name]), alone);
        other.rows.push(...report.rows);
        other.refused.push(...report.refused);
    }
    expect(one).toEqual(other);
    expect(await contents(together)).toEqual(await contents(alone));
    together.close();
    alone.close();
    return count;
}

test('sound files: one transaction, the same rows, lines and books', async () => {
    // One for the tables, one for the files.
    expect(await same(files())).toBeLessThanOrEqual(2);
});

test.each<[string, Record<number, string>]>([
    ['a row that breaks the contract', { 3: text(row(3, 1), row(3, 2, 'steep'), row(3, 3)) }],
    ['a row with too few cells', { 3: text(row(3, 1), 'car 3,OTTER') }],
    ['a row that an earlier file has', { 4: text(row(4, 1), row(2, 3)) }],
    ['a row that an earlier file has with other numbers', { 4: text(row(4, 1), row(2, 3, '-2')) }],
    ['a row twice in a file', { 3: text(row(3, 1), row(3, 1)) }],
    ['the same bytes twice', { 4: text(...rows(1)) }],
    ['a file without rows', { 0: text(), 4: text() }],
    [
        'empty lines, quotes and line ends within cells',
        { 4: text('', `"car 4"${row(4, 1).slice(5)}"two\nlines"`, '', row(4, 2)) },
    ],
    [
        'another order of the columns',
        {
            4: 'vehicle,corner,chassis,measured_at,visit,visit_kind,phase,camber_deg\ncar 4,FL,OTTER,2025-01-01T10:00,v,check,before,-1\n',
        },
    ],
    ['a header on a later line', { 2: `\n\n${text(...rows(2))}` }],
    ['a file of another kind', { 4: 'kit,side_rule,plate_hand\n' }],
])('%s among them', async (_, faults) => {
    await same(files(faults));
});

test('files that change the same key one after the other, and what waits to be mended', async () => {
    await same([
        ...files({ 1: text(row(1, 1), row(1, 2, 'x')) }),
        ['1 again.csv', text(row(1, 2))],
        ['13.csv', text(...rows(13))],
    ]);
});
