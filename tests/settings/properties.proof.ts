import { beforeAll, expect, test } from 'vitest';
import { sides } from '../../fixtures/physics/car.js';
import { designs } from '../../fixtures/physics/chassis.js';
import { simulateFleet } from '../../fixtures/physics/fleet.js';
import { onePlate, slantedPlate, twoScales } from '../../fixtures/physics/kits.js';
import { Random } from '../../fixtures/physics/random.js';
import type { Database } from '../../src/db/database.js';
import type { Cell } from '../../src/db/values.js';
import { adviseNeeds } from '../../src/model/advise.js';
import { modelOf, type Rows } from '../support/memory.js';

const fleet = simulateFleet({
    seed: 41,
    designs: designs.slice(0, 3),
    vehicles: 4,
    visits: 2,
    plates: [onePlate, twoScales, slantedPlate],
    otherHandShare: 0.2,
});
// Wide and narrow, reachable and not, with and without limits across the car.
const random = new Random(7);
const targets = Array.from({ length: 5 }, (_, i) => ({
    target: `target ${i}`,
    camber_deg: -0.5 - 2 * random.uniform(),
    camber_tol_deg: [0.05, 0.1, 0.2, 0.3, 0.5][i]!,
    caster_deg: 5 + 3 * random.uniform(),
    caster_tol_deg: [2, 0.5, 1, 0.3, 1.5][i]!,
    cross_camber_max_deg: [null, 0.2, 0.3, null, 0.4][i]!,
    cross_caster_max_deg: [null, 0.5, null, 0.4, 1][i]!,
}));

const fieldOf = (readings: Rows, threads?: number) =>
    modelOf({ readings, kits: fleet.kits, targets }, threads, [...adviseNeeds, 'advised']);

/** The answers of all cars, or of `cars`, to one target, in order of car and corner. */
async function answersIn(
    db: Database,
    target: string,
    anyIndex: boolean,
    cars: readonly string[] = fleet.cars.map(({ vehicle }) => vehicle),
): Promise<Record<string, Cell>[]> {
    return db.cells(
        `select * from advised(
            from_json($cars::json, '["VARCHAR"]'), null, [$target], null::varchar, null::integer, null::varchar,
            0.5::double, $any::boolean, null::double
        ) order by vehicle, corner`,
        { target, any: anyIndex, cars: JSON.stringify(cars) },
    );
}

/** The same in a field of its own. */
async function answers(readings: Rows, target: string, anyIndex: boolean, threads?: number) {
    const db = await fieldOf(readings, threads);
    try {
        return await answersIn(db, target, anyIndex);
    } finally {
        db.close();
    }
}

const first = new Map<string, Record<string, Cell>[]>();
beforeAll(async () => {
    const db = await fieldOf(fleet.readings);
    for (const { target } of targets) {
        first.set(target, await answersIn(db, target, target === 'target 2'));
    }
    db.close();
});

test('there is something to move, something out of reach and something that stays', () => {
    const all = [...first.values()].flat();
    expect(all).toHaveLength(targets.length * fleet.cars.length * sides.length);
    for (const share of [
        all.filter((row) => row.reachable === true).length / all.length,
        all.filter((row) => row.stay === true).length / all.length,
    ]) {
        expect(share).toBeGreaterThan(0.02);
        expect(share).toBeLessThan(0.98);
    }
});

// Each car is set for one of the targets, another one in the next turn.
test.each([0, 1])('the answers set as told and read as expected are "stay", turn %i', async (turn) => {
    const targetOf = (vehicle: Cell) =>
        targets[(fleet.cars.findIndex((car) => car.vehicle === vehicle) + turn) % targets.length]!.target;
    const told = [...first].flatMap(([target, rows]) =>
        rows.filter(({ vehicle }) => targetOf(vehicle!) === target),
    );
    const set = told.map((row) => ({
        vehicle: row.vehicle as string,
        chassis: row.chassis as string,
        corner: row.corner as string,
        measured_at: '2027-01-01T10:00',
        visit: 'set',
        visit_kind: 'check',
        phase: 'before',
        kit: row.kit as string,
        plate_hand: row.plate_hand as string,
        plate_index: row.plate_index as number,
        mark_1: row.mark_1 as number,
        mark_2: row.mark_2 as number | null,
        camber_deg: row.camber_deg as number,
        caster_deg: row.caster_deg as number,
        gauge: 'rack A',
    }));
    const db = await fieldOf([...fleet.readings, ...set]);
    const again: Record<string, Cell>[] = [];
    for (const { target } of targets) {
        const cars = fleet.cars
            .map(({ vehicle }) => vehicle)
            .filter((vehicle) => targetOf(vehicle) === target);
        again.push(...(await answersIn(db, target, target === 'target 2', cars)));
    }
    db.close();
    expect(again).toHaveLength(fleet.cars.length * sides.length);
    const moving = again.filter((row) => row.stay !== true).map((row) => `${row.vehicle} ${row.corner}`);
    expect(moving).toEqual([]);
    expect(again.map((row) => row.reachable)).toEqual(told.map((row) => row.reachable));
});

test('the order of the readings and the number of threads change nothing', async () => {
    const { target } = targets[1]!;
    expect(await answers([...fleet.readings].reverse(), target, false, 2)).toEqual(first.get(target));
});

test('left and right exchanged: the same answer on the other side', async () => {
    const other = { FL: 'FR', FR: 'FL', left: 'right', right: 'left' } as const;
    const mirrored = fleet.readings.map((row) => ({
        ...row,
        corner: other[row.corner as 'FL'],
        plate_hand: other[row.plate_hand as 'left'],
    }));
    const { target } = targets[1]!;
    const plain = first.get(target)!;
    const swapped = await answers(mirrored, target, false);
    for (const row of plain) {
        const twin = swapped.find(
            (one) => one.vehicle === row.vehicle && one.corner === other[row.corner as 'FL'],
        )!;
        expect([twin.mark_1, twin.mark_2, twin.plate_index, twin.stay]).toEqual([
            row.mark_1,
            row.mark_2,
            row.plate_index,
            row.stay,
        ]);
        expect(twin.plate_hand).toBe(other[row.plate_hand as 'left']);
        for (const name of [
            'camber_deg',
            'caster_deg',
            'move_out_mm',
            'move_aft_mm',
            'toe_change_deg',
            'p_both',
        ]) {
            expect(twin[name], name).toBeCloseTo(row[name] as number, 9);
        }
    }
});
