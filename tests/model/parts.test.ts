import { expect, test } from 'vitest';
import { designs } from '../../fixtures/physics/chassis.js';
import { simulateFleet } from '../../fixtures/physics/fleet.js';
import { simulateSessions } from '../../fixtures/physics/sessions.js';
import type { Database } from '../../src/db/database.js';
import { ensureModel } from '../../src/model/build.js';
import { modelFiles } from '../../src/model/sqlFile.js';
import { emptyDatabase, insertRows } from '../support/memory.js';

const fleet = simulateFleet({
    seed: 11,
    designs: designs.slice(0, 4),
    vehicles: 4,
    visits: 2,
    grossShare: 0.05,
});
const running = simulateSessions({ seed: 12, designs: designs.slice(0, 4), vehicles: 2, sessions: 2 });
// Every fifth reading is taken twice, so that states are means too.
const readings = [...fleet.readings, ...running.readings].flatMap((row, i) =>
    i % 5 === 0 ? [row, { ...row, repeat: 2, camber_deg: Number(row.camber_deg) + 0.02 }] : [row],
);
const { chassis } = readings[0]!;
const cars = [...new Set(readings.filter((row) => row.chassis === chassis).map(({ vehicle }) => vehicle))];
// What comes later: a car of the first chassis, and the repeats of another.
const late = readings.filter(
    ({ vehicle, repeat }) => vehicle === cars[0] || (vehicle === cars[1] && repeat === 2),
);
const early = readings.filter((row) => !late.includes(row));

const cut = modelFiles().filter(({ part, file }) => part !== null && file < '605');
const names = [...cut.map(({ table }) => table), 'slopes'];

async function insertLate(db: Database): Promise<void> {
    await insertRows(db, 'readings', late);
    await db.run(`update readings set load_id = 2 where rowid >= ${early.length}`);
}

async function withEarly(): Promise<Database> {
    const db = await emptyDatabase();
    await insertRows(db, 'kits', fleet.kits);
    await insertRows(db, 'readings', early);
    return db;
}

async function textOf(db: Database): Promise<Record<string, string>> {
    const found: Record<string, string> = {};
    for (const name of names)
        found[name] = JSON.stringify(await db.cells(`select * from ${name} order by all`));
    return found;
}

test('made anew in part, tables are bit for bit those made as a whole', async () => {
    const whole = await withEarly();
    await insertLate(whole);
    await ensureModel(whole, names);
    const parts = await withEarly();
    await ensureModel(parts, names);
    const before = await textOf(parts);
    // A row of a car that nothing came for tells whether it was made anew.
    await parts.run(`update present_corners set camber_gauge = 'stands' where chassis <> '${chassis}'`);
    await insertLate(parts);
    await ensureModel(parts, names);
    const [standing] = await parts.cells(
        "select count(*) as count from present_corners where camber_gauge = 'stands'",
    );
    expect(standing!.count).toBe(3 * (4 + 2) * 2);
    await parts.run("update present_corners set camber_gauge = null where camber_gauge = 'stands'");
    await whole.run(`update present_corners set camber_gauge = null where chassis <> '${chassis}'`);
    expect(before).not.toEqual(await textOf(whole));
    expect(await textOf(parts)).toEqual(await textOf(whole));
    parts.close();
    whole.close();
});
