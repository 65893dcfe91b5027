import { afterAll, beforeAll, expect, test } from 'vitest';
import type { CheckRow } from '../../src/contracts/results/check.js';
import type { Database } from '../../src/db/database.js';
import { ensureModel } from '../../src/model/build.js';
import { check } from '../../src/model/check.js';
import { checks } from '../../src/model/checks.js';
import { emptyDatabase, insertRows, type Rows } from '../support/memory.js';

/** Visit `visit` of a car: one reading a day. */
const on = (vehicle: string, visit: string, ...days: string[]): Rows =>
    days.map((measured_at, i) => ({
        vehicle,
        chassis: 'OTTER',
        corner: 'FL',
        measured_at,
        visit,
        visit_kind: 'check',
        phase: ['before', 'moved', 'after'][i]!,
        camber_deg: -1,
    }));

const sound = Array.from({ length: 60 }, (_, i) =>
    on(`car ${i % 10}`, `${i}`, `${2023 + (i % 3)}-0${1 + (i % 9)}-11`),
).flat();
const typed: Rows = [
    ...on('future', '1', '2025-03-01'),
    ...on('future', '2', '2052-04-01T09:30'),
    ...on('far future', '1', '2025-03-01'),
    ...on('far future', '2', '3025-04-01T09:30+02:00'),
    ...on('nought', '1', '0000-03-01'),
    ...on('blank', '1', '1900-01-01'),
    ...on('past', '1', '2025-03-01'),
    ...on('past', '2', '2015-04-01'),
    ...on('long', '1', '2025-03-01', '2026-03-01'),
    // Old, or long away, and nothing that a slip of the finger would do.
    ...on('classic', '1', '2009-03-01'),
    ...on('classic', '2', '2024-03-01'),
    ...on('same day', '1', '2026-06-01', '2026-06-02T06:00+14:00'),
];

async function loaded(...files: readonly Rows[]): Promise<Database> {
    const db = await emptyDatabase();
    for (const [i, rows] of files.entries()) {
        await insertRows(db, 'readings', rows, i + 1);
        await db.run(
            `insert into loads (load_id, file, loaded_at) values (${i + 1}, 'readings.csv', timestamp '2026-06-01 12:00')`,
        );
    }
    await ensureModel(
        db,
        checks().map(({ query }) => query),
    );
    return db;
}

let db: Database;
let rows: CheckRow[];
beforeAll(async () => {
    db = await loaded([...sound, ...typed]);
    rows = (await check(db, { only: 'implausible_dates' })).rows;
});
afterAll(() => db.close());

// Half a visit of 72 and one more, spread over 40 years, of a car that was away for long.
const odds = 1 / 500 / 36 / ((1 / 20) * (0.5 / 40 / 73));

test.each([
    ['future', '2', 'dated 2052-04-01, after it was loaded (2026-06-01); 2025 would fit its other visits', 1],
    [
        'far future',
        '2',
        'dated 3025-04-01, after it was loaded (2026-06-01); 2025 would fit its other visits',
        1,
    ],
    ['nought', '1', 'dated 0000-03-01', 200 / 201],
    ['blank', '1', 'dated 1900-01-01', 200 / 201],
    [
        'past',
        '2',
        'dated 2015-04-01, 10.0 years from any other visit of the car; 2025 would fit its other visits',
        odds / (1 + odds),
    ],
    ['long', '1', 'lasts from 2025-03-01 to 2026-03-01', 0.8],
])('%s', (vehicle, visit, finding, p) => {
    const found = rows.filter((row) => row.vehicle === vehicle);
    expect(found).toMatchObject([{ visit, finding, file: 'readings.csv' }]);
    expect(found[0]!.p_mistake).toBeCloseTo(p, 12);
    expect(found[0]!.line).toBeGreaterThan(60);
});

test('nothing but these', () => {
    expect(new Set(rows.map(({ vehicle }) => vehicle))).toEqual(
        new Set(['future', 'far future', 'nought', 'blank', 'past', 'long']),
    );
});

test('a load that is mostly in the future speaks of the clock, once', async () => {
    const ahead = Array.from({ length: 5 }, (_, i) => on(`late ${i}`, '1', `2027-01-0${i + 1}`)).flat();
    const other = await loaded(sound, ahead);
    const found = (await check(other, { only: 'implausible_dates' })).rows;
    other.close();
    expect(found).toMatchObject([{ vehicle: null, p_mistake: 1, line: 2 }]);
    expect(found[0]!.finding).toContain(
        '5 of 5 visits of this file are dated after it was loaded (2026-06-01)',
    );
});
