import { afterAll, beforeAll, expect, test } from 'vitest';
import { onePlate } from '../../fixtures/physics/kits.js';
import { plateOffset } from '../../fixtures/physics/plate.js';
import { Random } from '../../fixtures/physics/random.js';
import type { Database } from '../../src/db/database.js';
import { createFunctions } from '../../src/model/build.js';
import { emptyDatabase, modelOf } from '../support/memory.js';

let db: Database;
beforeAll(async () => {
    db = await emptyDatabase();
    await createFunctions(db);
});
afterAll(() => db.close());

async function offset(
    mark_1: number,
    mark_2: number,
    index: number,
    otherHand: boolean,
    plate = { axis: 0, out: 0, aft: 1 },
) {
    const [row] = await db.cells(
        `select plate_offset($mark_1, $mark_2, 2.0, $axis, $out, $aft, ($index - 1) * 120.0, $other) as offset`,
        { mark_1, mark_2, index, other: otherHand, ...plate },
    );
    return row!.offset as unknown as { out_mm: number; aft_mm: number };
}

const cos120 = -1 / 2;
const sin120 = Math.sqrt(3) / 2;

test('worked example of the contract, section 3', async () => {
    expect(await offset(3, 0, 1, false)).toEqual({ out_mm: 6, aft_mm: 1 });
    const second = await offset(3, 0, 2, false);
    expect(second.out_mm).toBeCloseTo(6 * cos120 - 1 * sin120, 6);
    expect(second.aft_mm).toBeCloseTo(6 * sin120 + 1 * cos120, 6);
    expect(second.out_mm).toBeCloseTo(-3.866, 3);
    expect(second.aft_mm).toBeCloseTo(4.696, 3);
    const other = await offset(3, 0, 2, true);
    expect(other.out_mm).toBeCloseTo(3.866, 3);
    expect(other.aft_mm).toBeCloseTo(4.696, 3);
});

test('three thirds of a turn come back to the same place', async () => {
    expect(await offset(2.5, -1, 4, false)).toEqual(await offset(2.5, -1, 1, false));
});

test('the second scale runs across the first', async () => {
    // axis 90: the first scale points rearward, the second inboard.
    const place = await offset(1, 2, 1, false, { axis: 90, out: 0, aft: 0 });
    expect(place.out_mm).toBeCloseTo(-4, 6);
    expect(place.aft_mm).toBeCloseTo(2, 6);
});

test('readings take the rule from the kits table, right and left alike, hand by hand', async () => {
    const random = new Random(11);
    const plate = { ...onePlate, axis_deg: 25, centre_out_mm: 1.5, centre_aft_mm: -2 };
    const cases = Array.from({ length: 40 }, (_, visit) => {
        const corner = random.pick(['FL', 'FR']);
        const hand = random.pick(['left', 'right', null]);
        const own = corner === 'FL' ? 'left' : 'right';
        const place = {
            index: random.whole(1, 3),
            mark_1: random.whole(-10, 10) / 2,
            mark_2: 0,
            otherHand: hand !== null && hand !== own,
        };
        return { visit, corner, hand, place, expected: plateOffset(plate, place) };
    });
    const readings = cases.map(({ visit, corner, hand, place }) => ({
        vehicle: 'A',
        chassis: 'X',
        corner,
        measured_at: '2026-01-01',
        visit: `v${visit}`,
        visit_kind: 'check',
        phase: 'before',
        kit: plate.kit,
        plate_hand: hand,
        plate_index: place.index,
        mark_1: place.mark_1,
        camber_deg: -1,
    }));
    const model = await modelOf({ readings, kits: [{ ...plate }] }, undefined, ['placements']);
    const found = await model.cells('select visit, offset_out_mm, offset_aft_mm, plate_hand from placements');
    for (const { visit, expected } of cases) {
        const row = found.find((candidate) => candidate.visit === `v${visit}`)!;
        expect(row.offset_out_mm).toBeCloseTo(expected.out, 5);
        expect(row.offset_aft_mm).toBeCloseTo(expected.aft, 5);
    }
    model.close();
});
