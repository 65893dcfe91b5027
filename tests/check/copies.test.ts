import { expect, test } from 'vitest';
import { designs } from '../../fixtures/physics/chassis.js';
import { simulateFleet } from '../../fixtures/physics/fleet.js';
import { onePlate } from '../../fixtures/physics/kits.js';
import { check } from '../../src/model/check.js';
import { checkNeeds } from '../../src/model/checks.js';
import { modelOf, type Rows } from '../support/memory.js';

const fleet = simulateFleet({ seed: 9, designs: designs.slice(0, 2), vehicles: 6, visits: 2 });
// Camber and toe alone: what one corner shows may come again by chance, what both show hardly.
const readings = fleet.readings.map((row) => ({ ...row, caster_deg: null, sai_deg: null })) as Rows;
const [{ vehicle, visit: first }] = fleet.readings as [Rows[number]];
const visits = [...new Set(readings.filter((row) => row.vehicle === vehicle).map(({ visit }) => visit))];

/** What was read of the corner of `row` when the car first left. */
const asLeft = ({ corner }: Rows[number]) =>
    readings.find(
        (one) =>
            one.vehicle === vehicle && one.visit === first && one.phase === 'after' && one.corner === corner,
    )!;

/** The as-found of the second visit of a car written off the as-left of the first, at these corners; `more` rows besides. */
async function found(corners: readonly string[], more: (copied: Rows) => Rows = () => []) {
    const written = readings.map((row) => {
        if (row.vehicle !== vehicle || row.visit !== visits[1] || row.phase !== 'before') return row;
        if (!corners.includes(row.corner as string)) return row;
        const { camber_deg, toe_deg } = asLeft(row);
        return { ...row, camber_deg, toe_deg };
    });
    const copied = [...written, ...more(written)];
    const only = { only: 'copied_rows' };
    const db = await modelOf({ readings: copied, kits: [{ ...onePlate }] }, 1, checkNeeds(only));
    const { rows } = await check(db, only);
    db.close();
    return rows.map((row) => [row.vehicle, row.visit, row.corner, row.finding]);
}

test('corners of a state that were copied together are told where one alone says too little', async () => {
    expect(await found([])).toEqual([]);
    expect(await found(['FL'])).toEqual([]);
    const alike = expect.stringMatching(
        /to the last digit as F[LR] of visit .*; 2 corners of this state alike$/,
    );
    expect(await found(['FL', 'FR'])).toEqual(
        ['FL', 'FR'].map((corner) => [vehicle, visits[1], corner, alike]),
    );
});

test('of two repeats, each like the other state at another corner, nothing was copied together', async () => {
    const again = (written: Rows) =>
        written
            .filter(
                ({ vehicle: car, visit, phase, corner }) =>
                    car === vehicle &&
                    visit === visits[1] &&
                    phase === 'before' &&
                    ['FL', 'FR'].includes(corner as string),
            )
            .map((row) => {
                const { camber_deg, toe_deg } = row.corner === 'FR' ? asLeft(row) : row;
                const off = row.corner === 'FR' ? 0 : 0.05;
                return {
                    ...row,
                    repeat: 2,
                    camber_deg: Number(((camber_deg as number) + off).toFixed(2)),
                    toe_deg,
                };
            });
    expect(await found(['FL'], again)).toEqual([]);
});
