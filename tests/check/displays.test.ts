import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { designs } from '../../fixtures/physics/chassis.js';
import type { CsvRow } from '../../fixtures/physics/csv.js';
import { simulateFleet } from '../../fixtures/physics/fleet.js';
import { onePlate } from '../../fixtures/physics/kits.js';
import type { CheckRow } from '../../src/contracts/results/check.js';
import type { Database } from '../../src/db/database.js';
import { check, isOpen } from '../../src/model/check.js';
import { checkNeeds } from '../../src/model/checks.js';
import type { Row } from '../support/linear.js';
import { modelOf } from '../support/memory.js';

const angles = ['camber_deg', 'caster_deg', 'toe_deg', 'sai_deg'];
const shown = (value: number, step: number) => Math.round(step * Math.round(value / step) * 1e4) / 1e4;

/** Degrees and minutes, to `step` minutes, written as decimals: -1.30 for -1.5. */
function minutes(value: number, step: number): number {
    const whole = step * Math.round((Math.abs(value) * 60) / step);
    return (Math.sign(value) * (100 * Math.floor(whole / 60) + (whole % 60))) / 100;
}

const displays: Record<string, (value: number) => number> = {
    hundredths: (value) => shown(value, 0.01),
    halves: (value) => shown(value, 0.5),
    quarters: (value) => shown(value, 0.25),
    tenths: (value) => shown(value, 0.1),
    twentieths: (value) => shown(value, 0.05),
    'five minutes, as decimals': (value) => shown(value, 1 / 12),
    '1 minute written as decimals': (value) => minutes(value, 1),
    '5 minutes written as decimals': (value) => minutes(value, 5),
    '10 minutes written as decimals': (value) => minutes(value, 10),
};
const isMinutes = (name: string) => name.includes('written');

let db: Database;
let rows: CheckRow[];
beforeAll(async () => {
    const readings: Row[] = [];
    for (const [name, display] of Object.entries(displays)) {
        const fleet = simulateFleet({
            seed: 91_000 + readings.length,
            designs: designs.slice(0, 2),
            vehicles: 6,
            visits: 2,
            plates: [onePlate],
            prefix: `${name} `,
        });
        for (const row of fleet.readings as Row[]) {
            for (const angle of angles) if (typeof row[angle] === 'number') row[angle] = display(row[angle]);
            readings.push({ ...row, gauge: name, technician: `who reads ${name}` });
        }
    }
    db = await modelOf(
        { readings: readings as CsvRow[], kits: [{ ...onePlate }] },
        undefined,
        checkNeeds({}),
    );
    const answer = await check(db);
    expect(answer.failures).toEqual([]);
    rows = answer.rows.filter((row) => isOpen(row) && row.p_mistake !== null);
});
afterAll(() => db.close());

const told = () =>
    rows.map((row) => `${row.check} ${row.vehicle} ${row.p_mistake?.toFixed(2)}: ${row.finding}`).join('\n');

describe.each(Object.keys(displays))('a gauge that shows %s', (name) => {
    test(isMinutes(name) ? 'is told apart' : 'is not taken for degrees and minutes', () => {
        const found = rows.filter(
            (row) =>
                row.check === 'minutes_as_decimals' &&
                (row.finding.includes(`gauge ${name} have`) ||
                    row.finding.includes(`who reads ${name} have`)),
        );
        expect(found.length > 0, told()).toBe(isMinutes(name));
    });

    test('copies no rows and doubles no toe', () => {
        const found = rows.filter(
            (row) =>
                ['copied_rows', 'toe_total_as_wheel'].includes(row.check) &&
                row.vehicle?.startsWith(`${name} `),
        );
        expect(found.length, told()).toBe(0);
    });
});

test('the step of each display is found, of gauges within one file', async () => {
    const steps = await db.cells('select gauge, camber_step_deg as step from check_steps');
    const found = Object.fromEntries(steps.map(({ gauge, step }) => [gauge, Number(step)]));
    expect(found).toMatchObject({
        halves: 0.5,
        quarters: 0.25,
        tenths: 0.1,
        twentieths: 0.05,
        hundredths: 0.01,
    });
    expect(found['five minutes, as decimals']).toBeCloseTo(1 / 12, 12);
});
