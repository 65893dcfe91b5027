import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { designs } from '../../fixtures/physics/chassis.js';
import { kitColumns, readingColumns } from '../../fixtures/physics/columns.js';
import { toCsv } from '../../fixtures/physics/csv.js';
import { simulateFleet } from '../../fixtures/physics/fleet.js';
import { readings } from '../../src/contracts/readings.js';
import { forgetResult, voidingsResult } from '../../src/contracts/results/forget.js';
import { loadResult } from '../../src/contracts/results/load.js';
import { type SlopeRow, slopesResult } from '../../src/contracts/results/slopes.js';
import { Database, identifier } from '../../src/db/database.js';
import { openModel } from '../../src/model/openModel.js';
import { inProcess } from '../support/inProcess.js';
import { generator } from '../support/mutations.js';

const folder = mkdtempSync(join(tmpdir(), 'forget-'));
afterAll(() => rmSync(folder, { recursive: true }));

const at = (name: string) => join(folder, name);
const run = (db: string, ...words: string[]) =>
    inProcess(...words, ...(words[0] === 'load' ? ['--later'] : []), '--db', at(db));
const json = async (db: string, ...words: string[]) => JSON.parse((await run(db, ...words, '--json')).out);
const slopes = async (db: string) => slopesResult.parse(await json(db, 'slopes')).rows;
const countsOf = (rows: readonly SlopeRow[]) =>
    Object.fromEntries(rows.map((row) => [`${row.chassis} ${row.response} ${row.axis}`, row.move_count]));

/** Cars of the moves, of which only the tables before slopes are made. */
async function movedCars(name: string) {
    const db = await openModel(at(name), { needs: ['moves'] });
    const rows = await db.cells('select vehicle, count(*) as n from moves group by vehicle order by 1');
    db.close();
    return rows;
}

const fleet = simulateFleet({ seed: 5, designs: designs.slice(0, 2), vehicles: 4, visits: 2, movedShare: 1 });
const car = fleet.readings[0]!.vehicle as string;
const chassis = fleet.readings[0]!.chassis as string;

beforeAll(async () => {
    writeFileSync(at('kits.csv'), toCsv(kitColumns, fleet.kits));
    writeFileSync(at('readings.csv'), toCsv(readingColumns, fleet.readings));
    expect((await run('a.duckdb', 'load', at('kits.csv'), at('readings.csv'))).status).toBe(0);
});

test('slopes count fewer moves after forget, whatever is loaded meanwhile, and all is as before once the rows are back', async () => {
    const all = await slopes('a.duckdb');
    const counts = countsOf(all);
    const words = ['forget', '--where', `vehicle=${car}`, '--because', 'a mistyped name', '--by', 'Kim'];
    forgetResult.parse(await json('a.duckdb', ...words, '--dry-run'));
    const gone = forgetResult.parse(await json('a.duckdb', ...words)).rows;
    expect(gone.every(({ status }) => status === 'voided')).toBe(true);
    // The last load is of another chassis, so that only this one is touched since.
    const other = fleet.readings.find((reading) => reading.chassis !== chassis)!;
    writeFileSync(
        at('more.csv'),
        toCsv(readingColumns, [{ ...other, visit: 'one more', visit_kind: 'check' }]),
    );
    await run('a.duckdb', 'load', at('more.csv'));
    const less = await slopes('a.duckdb');
    const fewer = countsOf(less);
    for (const [name, count] of Object.entries(counts)) {
        if (name.startsWith(`${chassis} `)) expect([name, fewer[name]! < count]).toEqual([name, true]);
        else expect([name, fewer[name]]).toEqual([name, count]);
    }
    await run('b.duckdb', 'load', at('kits.csv'));
    writeFileSync(
        at('without.csv'),
        toCsv(
            readingColumns,
            fleet.readings.filter(({ vehicle }) => vehicle !== car),
        ),
    );
    await run('b.duckdb', 'load', at('without.csv'), at('more.csv'));
    expect(less).toEqual(await slopes('b.duckdb'));

    // As many rows come back as go, so that counts alone tell nothing.
    await run('a.duckdb', 'forget', at('more.csv'), '--because', 'not needed');
    const second = fleet.readings.find(({ vehicle }) => vehicle !== car)!.vehicle as string;
    const swap = ['forget', '--where', `vehicle=${second}`, '--because', 'the other one'];
    expect((await json('a.duckdb', ...swap)).rows).toHaveLength(gone.length);
    const before = await movedCars('a.duckdb');
    await run('a.duckdb', 'forget', '--bring-back', '1');
    expect(await movedCars('a.duckdb')).not.toEqual(before);
    await run('a.duckdb', 'forget', '--bring-back', '3');
    expect(await slopes('a.duckdb')).toEqual(all);
    const list = voidingsResult.parse(await json('a.duckdb', 'forget')).rows;
    expect(list.map(({ row_count, brought_back_count }) => row_count - brought_back_count)).toEqual([
        0, 1, 0,
    ]);
    expect(list[0]).toMatchObject({ voided_by: 'Kim', because: 'a mistyped name', asked: `vehicle=${car}` });
});

test('a mended name: the wrong rows count no longer', async () => {
    const mended = fleet.readings.map((row) => ({
        ...row,
        vehicle: row.vehicle === car ? 'mended' : row.vehicle,
    }));
    writeFileSync(at('mended.csv'), toCsv(readingColumns, mended));
    await run('c.duckdb', 'load', at('kits.csv'), at('readings.csv'));
    const counts = (await movedCars('c.duckdb')).map(({ n }) => n);
    const loaded = await json('c.duckdb', 'load', at('mended.csv'), '--instead-of', at('readings.csv'));
    const { rows, gone } = loadResult.parse(loaded);
    expect(gone).toHaveLength(rows[0]!.gone_count!);
    expect(gone!.every(({ key }) => key.startsWith(`vehicle=${car},`))).toBe(true);
    const now = await movedCars('c.duckdb');
    expect(now.map(({ vehicle }) => vehicle)).not.toContain(car);
    expect(now.map(({ n }) => n).sort()).toEqual(counts.sort());
});

test('what is said to people, and bad usage', async () => {
    await run('d.duckdb', 'load', at('kits.csv'));
    expect(await run('d.duckdb', 'forget')).toMatchObject({ status: 0, out: 'Nothing was voided.\n' });
    for (const [status, says, ...words] of [
        [2, '--because why', at('kits.csv')],
        [2, 'Name FILE', '--dry-run'],
        [2, 'number of a voiding', '--bring-back', 'x'],
        [2, '--bring-back takes', at('kits.csv'), '--bring-back', '1'],
        [2, '--because takes up to', at('kits.csv'), '--because', ' '],
        [1, 'There is no voiding 7', '--bring-back', '7'],
        [1, 'No file "none.csv"', 'none.csv', '--because', 'x'],
    ] as const) {
        const said = await run('d.duckdb', 'forget', ...words);
        expect([said.status, said.out]).toEqual([status, '']);
        expect(said.err).toContain(says);
    }
    expect((await run('d.duckdb', 'load', at('kits.csv'), '--because', 'x')).status).toBe(2);
    expect(
        (await run('d.duckdb', 'load', at('kits.csv'), at('readings.csv'), '--instead-of', '1')).status,
    ).toBe(2);
    const { out } = await run('d.duckdb', 'forget', at('kits.csv'), '--because', 'x');
    expect(out).toMatch(/kits\.csv:2 .*kit=.* voided\n/);
    await run('d.duckdb', 'load', at('kits.csv'), '--as', 'kits');
    writeFileSync(at('copy.csv'), `${toCsv(kitColumns, fleet.kits)}\n`);
    await run('d.duckdb', 'load', at('copy.csv'));
    const back = await run('d.duckdb', 'forget', '--bring-back', '1');
    expect(back.status).toBe(1);
    expect(back.out).toMatch(/key taken by .*copy\.csv:2\n/);
});

test('an export of readings, and of what was replaced or voided, loads back as it was, whatever its texts', async () => {
    const random = generator(77);
    const pieces = ["'", '=', '+', '-', '@', '"', ',', '\n', 'a', ' b', 'ü', '1'];
    const word = (n: number, known = pieces.filter((piece) => piece !== '\n')) =>
        `${
            Array.from({ length: 1 + random(5) }, () => known[random(known.length)]!)
                .join('')
                .trim() || 'x'
        }${n}`;
    const cell = (text: string) => `"${text.replaceAll('"', '""')}"`;
    const lines = Array.from({ length: 80 }, (_, n) => {
        const texts = [
            word(n),
            word(n),
            'FL',
            '2025-01-01',
            word(n),
            'check',
            'before',
            `${random(999) / 100 - 5}`,
            // A note may have lines.
            word(n, pieces),
        ];
        return texts.map(cell).join(',');
    });
    const header = 'vehicle,chassis,corner,measured_at,visit,visit_kind,phase,camber_deg,note';
    writeFileSync(at('odd.csv'), [header, ...lines, ''].join('\n'));
    expect((await run('e.duckdb', 'load', at('odd.csv'))).status).toBe(0);
    await run('e.duckdb', 'export', 'readings', '--to', at('out.csv'));
    expect((await json('e.duckdb', 'load', at('out.csv'))).rows).toMatchObject([
        { read_count: 80, loaded_count: 0, duplicate_count: 80 },
    ]);
    await run('f.duckdb', 'load', at('out.csv'));
    const content = async (name: string) => {
        const db = await Database.open({ file: at(name), mode: 'read' });
        const columns = readings.columns.map((column) => identifier(column.name)).join(', ');
        const rows = await db.cells(`select ${columns} from readings order by all`);
        db.close();
        return rows;
    };
    const stored = await content('e.duckdb');
    expect(stored).toHaveLength(80);
    expect(await content('f.duckdb')).toEqual(stored);
    await run('e.duckdb', 'forget', at('odd.csv'), '--because', 'x');
    await run('e.duckdb', 'export', 'readings_voided', '--to', at('voided.csv'));
    await run('g.duckdb', 'load', at('voided.csv'));
    expect(await content('g.duckdb')).toEqual(stored);
    // A file that is no export keeps its apostrophes, and has no column of that name.
    writeFileSync(at('part.csv'), `${header},source_file\n`);
    expect((await run('f.duckdb', 'load', at('part.csv'))).err).toContain('"source_file" not known');
});
