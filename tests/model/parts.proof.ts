import { expect, test, vi } from 'vitest';
import { designs } from '../../fixtures/physics/chassis.js';
import { simulateFleet } from '../../fixtures/physics/fleet.js';
import { simulateSessions } from '../../fixtures/physics/sessions.js';
import type { Database } from '../../src/db/database.js';
import { ensureModel } from '../../src/model/build.js';
import { contentOf } from '../../src/model/buildTable.js';
import { modelFiles } from '../../src/model/sqlFile.js';
import { emptyDatabase, insertRows, type Rows } from '../support/memory.js';

/** Tables that are made anew for the touched chassis only hold, bit for bit, what a whole build of the same input gives. */

const fleets = Array.from({ length: 6 }, (_, f) =>
    simulateFleet({
        seed: 20 + f,
        designs: designs.slice(0, 3),
        vehicles: 4,
        visits: 3,
        prefix: `fleet ${f} `,
        repeats: 1 + (f % 2),
    }),
);
const { kits } = fleets[0]!;
const seasons = fleets.map((_, f) =>
    simulateSessions({
        seed: 40 + f,
        designs: designs.slice(0, 3),
        vehicles: 2,
        sessions: 2,
        prefix: `season ${f} `,
    }),
);
const all: Rows = fleets.flatMap(({ readings }, f) => [...readings, ...seasons[f]!.readings]);
const chassis = [...new Set(all.map((row) => row.chassis))];

/** Later rows: a third visit of one car, a car never seen, a chassis never seen. */
const late = (row: Rows[number]) =>
    row.chassis === chassis.at(-1) ||
    (row.chassis === chassis[4] && String(row.vehicle).endsWith('1')) ||
    (row.chassis === chassis[7] && String(row.vehicle).endsWith('2') && String(row.visit).endsWith('3'));

async function filled(batches: readonly Rows[]): Promise<Database> {
    const db = await emptyDatabase();
    await insertRows(db, 'kits', kits);
    for (const [i, rows] of batches.entries()) await insertRows(db, 'readings', rows, i + 1);
    return db;
}

/** Tables of which `work` made a part anew: rows of touched chassis, of those that concerned cars stand under, or of concerned cars. */
async function cutBy(
    db: Database,
    work: () => Promise<unknown>,
    part = 'touched|concerned|cars',
): Promise<string[]> {
    const cut = new RegExp(`^insert into "(\\w+)" select \\* from "(?:${part}) `);
    const run = vi.spyOn(db, 'run');
    await work();
    const found = run.mock.calls.flatMap(([sql]) => cut.exec(sql)?.[1] ?? []);
    run.mockRestore();
    return found;
}

async function contents(db: Database): Promise<Record<string, string>> {
    const found: Record<string, string> = {};
    for (const { table } of modelFiles()) found[table] = await contentOf(db, table);
    return found;
}

test('there are later rows of cars and chassis that were known, and of others', () => {
    const known = new Set(all.filter((row) => !late(row)).map((row) => row.vehicle));
    const came = new Set(all.filter(late).map((row) => row.vehicle));
    expect([...came].some((car) => known.has(car))).toBe(true);
    expect([...came].some((car) => !known.has(car))).toBe(true);
});

test('new readings: the touched chassis of the tables that are cut by chassis, and the same rows', async () => {
    const db = await filled([all.filter((row) => !late(row))]);
    await ensureModel(db);
    await insertRows(db, 'readings', all.filter(late), 2);
    const cut = await cutBy(db, () => ensureModel(db));
    expect(cut).toEqual(
        expect.arrayContaining([
            'plate_positions',
            'repeated_states',
            'state_pairs',
            'slope_starts',
            'own_scales',
        ]),
    );
    const whole = await filled([all.filter((row) => !late(row)), all.filter(late)]);
    await ensureModel(whole);
    expect(await contents(db)).toEqual(await contents(whole));
    db.close();
    whole.close();
});

test('replaced readings: the car and chassis of the row that was there are made anew too', async () => {
    const [before] = all.filter((row) => row.chassis === chassis[2]);
    const replace = async (db: Database) => {
        const { vehicle, corner, visit, phase } = before as Record<string, string>;
        const names = { vehicle: vehicle!, corner: corner!, visit: visit!, phase: phase! };
        const key =
            'vehicle = $vehicle and corner = $corner and visit = $visit and phase = $phase and coalesce(repeat, 1) = 1';
        await db.run(`insert into readings_history select *, 2 from readings where ${key}`, names);
        await db.run(`delete from readings where ${key}`, names);
        await insertRows(db, 'readings', [{ ...before, chassis: chassis[5]!, camber_deg: 0.5 }], 2);
    };
    const db = await filled([all]);
    await ensureModel(db);
    await replace(db);
    expect(await cutBy(db, () => ensureModel(db))).toEqual(
        expect.arrayContaining(['repeated_states', 'slope_fits', 'slope_estimates']),
    );
    const whole = await filled([all]);
    await replace(whole);
    await ensureModel(whole);
    expect(await contents(db)).toEqual(await contents(whole));
    db.close();
    whole.close();
});

test('a car that stands under two chassis by mistake: readings of one touch the other too', async () => {
    const car = all.find((row) => row.chassis === chassis[3] && row.phase === 'before')!.vehicle;
    const mixed = all.map((row) =>
        row.vehicle === car && row.phase === 'before' ? { ...row, chassis: chassis[6]! } : row,
    );
    const later = mixed.filter((row) => row.chassis === chassis[6] && row.vehicle !== car).slice(0, 8);
    expect(later).toHaveLength(8);
    const batches = [mixed.filter((row) => !later.includes(row)), later];
    const db = await filled([batches[0]!]);
    await ensureModel(db);
    await insertRows(db, 'readings', later, 2);
    expect(await cutBy(db, () => ensureModel(db))).toContain('state_pairs');
    const whole = await filled(batches);
    await ensureModel(whole);
    expect(await contents(db)).toEqual(await contents(whole));
    db.close();
    whole.close();
});

/** The same readings with a gauge for each fleet and season, but for some cars that the gauge of another one read. */
const racked: Rows = fleets.flatMap(({ readings }, f) =>
    [...readings, ...seasons[f]!.readings].map((row) => ({
        ...row,
        gauge: `rack ${f === 4 && /OTTER-s?1$/.test(String(row.vehicle)) ? 5 : f}`,
    })),
);

/** Six states of `rack 5` read once more. */
const readAgain: Rows = racked
    .filter(
        (row) =>
            row.gauge === 'rack 5' &&
            row.chassis === fleets[5]!.readings[0]!.chassis &&
            row.phase === 'after',
    )
    .slice(0, 6)
    .map((row, i) => ({
        ...row,
        repeat: 3,
        camber_deg: Number(row.camber_deg) + (i % 2 === 0 ? 0.02 : -0.02),
    }));

test('a gauge that turns out noisier: the cars that it has read, and no others', async () => {
    const db = await filled([racked]);
    await ensureModel(db);
    const noise = () => db.cells('select * from noise_levels order by gauge, response');
    const before = await noise();
    await insertRows(db, 'readings', readAgain, 2);
    const cut = await cutBy(db, () => ensureModel(db), 'cars');
    const changed = (await noise()).filter((row, i) => row.sd_deg !== before[i]!.sd_deg);
    expect(new Set(changed.map((row) => row.gauge))).toEqual(new Set(['rack 5']));
    expect(cut).toEqual(expect.arrayContaining(['session_reads', 'session_corners', 'check_corners']));
    const whole = await filled([racked, readAgain]);
    await ensureModel(whole);
    expect(await contents(db)).toEqual(await contents(whole));
    db.close();
    whole.close();
});

test('a gauge and a person that were never seen: the cars that they have read', async () => {
    const readBy = (row: Rows[number]) =>
        row.gauge === 'rack 4' &&
        row.chassis === seasons[4]!.readings[0]!.chassis &&
        row.session === 'session 2';
    const later = racked.filter(readBy).map((row) => ({ ...row, gauge: 'rack new', technician: 'new' }));
    expect(later.length).toBeGreaterThan(0);
    const batches = [racked.filter((row) => !readBy(row)), later];
    const db = await filled([batches[0]!]);
    await ensureModel(db);
    await insertRows(db, 'readings', later, 2);
    expect(await cutBy(db, () => ensureModel(db))).toEqual(
        expect.arrayContaining(['session_pairs', 'neighbouring_states']),
    );
    const whole = await filled(batches);
    await ensureModel(whole);
    expect(await contents(db)).toEqual(await contents(whole));
    db.close();
    whole.close();
});

test('a build that is stopped keeps what it has made, and goes on from there', async () => {
    const db = await filled([all.filter((row) => !late(row))]);
    await ensureModel(db);
    await insertRows(db, 'readings', all.filter(late), 2);
    // By this clock every table takes long, so that each is committed by itself.
    let now = 0;
    const clock = vi.spyOn(performance, 'now').mockImplementation(() => {
        now += 200;
        return now;
    });
    const run = db.run.bind(db);
    const stopped = vi.spyOn(db, 'run').mockImplementation((sql, parameters) => {
        if (sql.startsWith('insert into "session_pairs"')) throw new Error('stopped');
        return run(sql, parameters);
    });
    await expect(ensureModel(db)).rejects.toThrow('stopped');
    stopped.mockRestore();
    const cut = await cutBy(db, () => ensureModel(db));
    clock.mockRestore();
    expect(cut).toContain('session_pairs');
    expect(cut).not.toContain('state_pairs');
    const whole = await filled([all.filter((row) => !late(row)), all.filter(late)]);
    await ensureModel(whole);
    expect(await contents(db)).toEqual(await contents(whole));
    db.close();
    whole.close();
});

test('where much is touched the tables are made as a whole', async () => {
    const db = await filled([all.slice(0, all.length / 2)]);
    await ensureModel(db, ['moves']);
    await insertRows(db, 'readings', all.slice(all.length / 2), 2);
    expect(await cutBy(db, () => ensureModel(db, ['moves']))).toEqual([]);
    db.close();
});
