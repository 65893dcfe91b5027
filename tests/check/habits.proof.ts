import { expect, test } from 'vitest';
import { designs } from '../../fixtures/physics/chassis.js';
import type { CsvRow } from '../../fixtures/physics/csv.js';
import { simulateFleet } from '../../fixtures/physics/fleet.js';
import { onePlate, slantedPlate, twoScales } from '../../fixtures/physics/kits.js';
import { Random } from '../../fixtures/physics/random.js';
import { check, isOpen } from '../../src/model/check.js';
import { checkNeeds } from '../../src/model/checks.js';
import { modelOf } from '../support/memory.js';
import { mistakes } from '../support/planted.js';

type Row = Record<string, string | number | null | undefined>;
const kits = [onePlate, twoScales, slantedPlate];

/** Fleets of eight cars of three chassis; technician B of each, who reads half of the cars, has the habit. */
async function withHabit(mistake: string, fleets: number) {
    const readings: Row[] = [];
    for (let f = 0; f < fleets; f++) {
        const chosen = designs.filter((_, i) => i % 2 === f % 2);
        const fleet = simulateFleet({
            seed: 71_000 + f,
            designs: chosen,
            vehicles: 8,
            visits: 2,
            plates: kits,
            prefix: `${f} `,
        });
        const all = fleet.readings as Row[];
        for (const visit of new Set(all.map((row) => row.visit))) {
            const rows = all.filter((row) => row.visit === visit);
            const isB = Number(String(rows[0]!.vehicle).split('-')[1]) > 4;
            for (const row of rows) row.technician = `${f} ${isB ? 'B' : 'A'}`;
            if (isB) mistakes[mistake]!.plant(rows, new Random(f), []);
            readings.push(...rows);
        }
    }
    const db = await modelOf(
        { readings: readings as CsvRow[], kits: kits.map((plate) => ({ ...plate })) },
        1,
        checkNeeds({}),
    );
    const { rows } = await check(db);
    db.close();
    return rows.filter((row) => isOpen(row) && row.p_mistake !== null);
}

test.each([
    ['minutes as decimals', 'minutes_as_decimals'],
    ['total toe per wheel', 'toe_total_as_wheel'],
])(
    '%s as the habit of one person: that person is named, and what follows is not told again',
    async (mistake, name) => {
        const rows = await withHabit(mistake, 4);
        const text = rows.map((row) => `${row.check} ${row.visit}: ${row.finding}`).join('\n');
        const named = rows.filter((row) => row.check === name && row.vehicle === null);
        expect(named.map((row) => /technician (\d [AB])/.exec(row.finding)?.[1]).sort(), text).toEqual([
            '0 B',
            '1 B',
            '2 B',
            '3 B',
        ]);
        expect(rows.length - named.length, text).toBeLessThanOrEqual(2);
    },
);
