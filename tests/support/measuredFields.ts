import {
    alongSlot,
    buildCar,
    type Car,
    type Front,
    fitted,
    placeColumns,
    type Side,
    sides,
    slipped,
    withToe,
} from '../../fixtures/physics/car.js';
import { designs } from '../../fixtures/physics/chassis.js';
import { type Angles, anglesAt } from '../../fixtures/physics/corner.js';
import { onePlate, randomPlace } from '../../fixtures/physics/kits.js';
import { moment } from '../../fixtures/physics/moment.js';
import type { Place } from '../../fixtures/physics/plate.js';
import { Random } from '../../fixtures/physics/random.js';

type Row = Record<string, string | number | null | undefined>;

/** Standard deviations by angle, deg. */
export type Spreads = Angles;

/** What is expected beforehand, from sql/609: biases of gauges and what a set-up adds. */
export const priorBias: Spreads = { camber_deg: 0.05, caster_deg: 0.15, toe_deg: 0.03, sai_deg: 0.15 };
export const priorSetUp: Spreads = { camber_deg: 0.06, caster_deg: 0.12, toe_deg: 0.04, sai_deg: 0.12 };
const repeat: Spreads = { camber_deg: 0.04, caster_deg: 0.12, toe_deg: 0.02, sai_deg: 0.12 };
const names = ['camber_deg', 'caster_deg', 'toe_deg', 'sai_deg'] as const;

const times = (spreads: Spreads, factor: number): Spreads => ({
    camber_deg: factor * spreads.camber_deg,
    caster_deg: factor * spreads.caster_deg,
    toe_deg: factor * spreads.toe_deg,
    sai_deg: factor * spreads.sai_deg,
});

const plus = (one: Spreads, other: Spreads): Spreads => ({
    camber_deg: one.camber_deg + other.camber_deg,
    caster_deg: one.caster_deg + other.caster_deg,
    toe_deg: one.toe_deg + other.toe_deg,
    sai_deg: one.sai_deg + other.sai_deg,
});

export interface FieldOptions {
    seed: number;
    cars: number;
    gauges: number;
    /** Biases in standard deviations of the prior; set-ups likewise. */
    bias?: number;
    setUp?: number;
    step?: number;
    repeats?: number;
    /** Share of the cars whose plate slips unseen between the first visit and the last. */
    slipShare?: number;
    /** The gauge is mounted anew for each repeat; this share of the variance of a set-up, floor and rake, stays for the visit. */
    floorShare?: number;
    /** What the bias of camber of the first gauge moves in a week, from the first day on, deg; of other angles as their biases are larger. */
    walk?: number;
    /** Days from one car to the next. */
    apart?: number;
    /** Put before the names of chassis, cars and gauges, where several fields share a database. */
    prefix?: string;
}

export interface Field {
    readings: Row[];
    kits: Row[];
    targets: Row[];
    cars: Car[];
    /** True camber left by the `after` of a visit, by visit and corner. */
    left: Map<string, Angles>;
    /** Cars whose plates slipped. */
    slipped: Set<string>;
    biases: Map<string, Angles>;
}

export const plate = { ...onePlate, mark_min: -12, mark_max: 12 };
export const goal = { target: 'street', camber_deg: -1.2, caster_deg: 7, toe_deg: 0.05 };
const targets = [
    { ...goal, camber_tol_deg: 0.25, caster_tol_deg: 2, toe_tol_deg: 0.2 },
    {
        target: 'track',
        camber_deg: -1.9,
        camber_tol_deg: 0.25,
        caster_deg: 6.5,
        caster_tol_deg: 3,
        toe_deg: 0,
    },
];

/** Half a mark is read: the pointer is up to a quarter off, either way. */
export const pointerError = (random: Random) => random.uniform() / 2 - 0.25;

/** The front put where its pointer is read at `place`. */
export function putTo(front: Front, place: Place, random: Random): Front {
    const intended = fitted(front, plate, place);
    return slipped(intended, alongSlot(intended, pointerError(random)));
}

/** The mark, to a half, at which the front comes nearest to `camber_deg` at `toe_deg`. */
function markFor(front: Front, camber_deg: number, toe_deg: number): number {
    const missAt = (mark_1: number) => {
        const there = withToe(fitted(front, plate, { ...front.place, mark_1 }), toe_deg);
        return anglesAt(there.corner, there.state).camber_deg - camber_deg;
    };
    const slope = (missAt(4) - missAt(-4)) / 8;
    const mark = Math.round(-2 * (missAt(0) / slope)) / 2;
    return Math.min(Math.max(mark, plate.mark_min), plate.mark_max);
}

/**
 * Cars of one chassis that are adjusted, checked, come back untouched (or slipped), are adjusted and checked again, each visit with one
 * of several gauges: reading = angle + bias(gauge) + set-up(visit, corner) + repeat, shown in steps. Rear corners are read too.
 */
export function measuredField(options: FieldOptions): Field {
    const {
        seed,
        cars,
        gauges,
        bias = 1,
        setUp = 1,
        step = 0.01,
        repeats = 3,
        slipShare = 0,
        floorShare,
        walk = 0,
        apart = 3,
    } = options;
    const { prefix = '' } = options;
    const random = new Random(seed);
    const draw = (spreads: Spreads): Angles => ({
        camber_deg: random.normal(0, spreads.camber_deg),
        caster_deg: random.normal(0, spreads.caster_deg),
        toe_deg: random.normal(0, spreads.toe_deg),
        sai_deg: random.normal(0, spreads.sai_deg),
    });
    const field: Field = {
        readings: [],
        kits: [{ ...plate }],
        targets: targets.map((target) => ({ ...target })),
        cars: [],
        left: new Map(),
        slipped: new Set(),
        biases: new Map(
            Array.from({ length: gauges }, (_, i) => [
                `${prefix}rack ${i + 1}`,
                draw(times(priorBias, bias)),
            ]),
        ),
    };
    const kit = (side: string, front: Front) =>
        side.startsWith('F') ? placeColumns(front, side as Side) : {};

    function shown(truth: Angles, gauge: string, mounting: Angles, day: number): Row {
        const weeks = gauge === `${prefix}rack 1` ? day / 7 : 0;
        const added = plus(field.biases.get(gauge)!, times(priorBias, (walk * weeks) / priorBias.camber_deg));
        return Object.fromEntries(
            names.map((name) => {
                const value = truth[name] + added[name] + mounting[name] + random.normal(0, repeat[name]);
                return [name, Number((Math.round(value / step) * step).toFixed(4))];
            }),
        );
    }

    for (let v = 1; v <= cars; v++) {
        const design = designs[seed % designs.length]!;
        const called = { vehicle: `${prefix}car ${v}`, chassis: `${prefix}${design.chassis}` };
        const car = buildCar(called, design, random, 2);
        const rears = {
            RL: draw({ camber_deg: 0.3, caster_deg: 0, toe_deg: 0.05, sai_deg: 0 }),
            RR: draw({ camber_deg: 0.3, caster_deg: 0, toe_deg: 0.05, sai_deg: 0 }),
        };
        for (const side of sides) {
            const place = randomPlace(plate, random, 1, false);
            car.fronts[side] = withToe(putTo(car.fronts[side], place, random), random.normal(0.05, 0.03));
        }

        /** Reads all corners as they stand; the mountings of the visit stay. */
        const readAll = (
            visit: string,
            kind: string,
            phase: string,
            day: number,
            gauge: string,
            mountings: Map<string, Angles>,
            target: string | null = null,
        ) => {
            for (const corner of [...sides, 'RL', 'RR'] as const) {
                if (!mountings.has(corner)) {
                    mountings.set(corner, draw(times(priorSetUp, setUp * Math.sqrt(floorShare ?? 1))));
                }
                const stands = mountings.get(corner)!;
                const front = corner.startsWith('F') ? car.fronts[corner as Side] : null;
                const truth =
                    front === null ? rears[corner as 'RL' | 'RR'] : anglesAt(front.corner, front.state);
                for (let n = 1; n <= repeats; n++) {
                    const mounted =
                        floorShare === undefined
                            ? stands
                            : plus(stands, draw(times(priorSetUp, setUp * Math.sqrt(1 - floorShare))));
                    const values = shown(truth, gauge, mounted, day);
                    field.readings.push({
                        vehicle: car.vehicle,
                        chassis: car.chassis,
                        corner,
                        measured_at: moment(day, 540 + 60 * ['before', 'moved', 'after'].indexOf(phase) + n),
                        visit: `${car.vehicle} ${visit}`,
                        visit_kind: kind,
                        phase,
                        repeat: n,
                        ...(floorShare === undefined ? {} : { remounted: n > 1 ? 'yes' : 'no' }),
                        ...(front === null ? {} : kit(corner, front)),
                        ...values,
                        ...(front === null ? { caster_deg: null, sai_deg: null } : {}),
                        gauge,
                        target: front !== null && phase === 'after' ? target : null,
                    });
                }
            }
        };
        const adjusted = (visit: string, day: number) => {
            const gauge = `${prefix}rack ${random.whole(1, gauges)}`;
            const mountings = new Map<string, Angles>();
            readAll(visit, 'adjust', 'before', day, gauge, mountings);
            for (const side of sides) {
                const found = car.fronts[side];
                const mark_1 = markFor(found, goal.camber_deg + random.normal(0, 0.2), goal.toe_deg);
                car.fronts[side] = putTo(found, { ...found.place, mark_1 }, random);
            }
            readAll(visit, 'adjust', 'moved', day, gauge, mountings);
            for (const side of sides)
                car.fronts[side] = withToe(car.fronts[side], random.normal(goal.toe_deg, 0.02));
            readAll(visit, 'adjust', 'after', day, gauge, mountings, goal.target);
            for (const side of sides) {
                const { corner, state } = car.fronts[side];
                field.left.set(`${car.vehicle} ${visit} ${side}`, anglesAt(corner, state));
            }
        };
        const checked = (visit: string, day: number) =>
            readAll(visit, 'check', 'before', day, `${prefix}rack ${random.whole(1, gauges)}`, new Map());

        adjusted('1', apart * v);
        checked('2', apart * v + 10);
        if (random.chance(slipShare)) {
            field.slipped.add(car.vehicle);
            for (const side of sides) {
                const front = car.fronts[side];
                car.fronts[side] = slipped(
                    front,
                    alongSlot(front, random.pick([-1, 1]) * (1 + random.uniform())),
                );
            }
        }
        adjusted('3', apart * v + 20);
        checked('4', apart * v + 30);
        field.cars.push(car);
    }
    return field;
}

/**
 * What each gauge of `field` reads, three times, of a block of 0 deg whose certificate has a standard uncertainty of 0.01 deg, `weeks` after
 * the first day.
 */
export function referencesOf(
    field: Field,
    { seed, step = 0.01, walk = 0, prefix = '' }: FieldOptions,
    weeks = 52,
): Row[] {
    const random = new Random(seed + 500_000);
    return [...field.biases].flatMap(([gauge, bias]) =>
        names.flatMap((name) => {
            const value = random.normal(0, 0.01);
            const walked =
                gauge === `${prefix}rack 1` ? (walk * weeks * priorBias[name]) / priorBias.camber_deg : 0;
            return [1, 2, 3].map((n) => ({
                gauge,
                angle: name.replace('_deg', ''),
                measured_at: moment(7 * weeks, 480).slice(0, 10),
                reference: 'block',
                reference_deg: 0,
                reference_uncertainty_deg: 0.01,
                reading_deg: Number(
                    (
                        Math.round((value + bias[name] + walked + random.normal(0, repeat[name])) / step) *
                        step
                    ).toFixed(4),
                ),
                repeat: n,
            }));
        }),
    );
}

/** Readings of a simulation that knows repeat noise only, with a bias of their gauge and a set-up for each visit and corner added. */
export function withBiasAndSetUps(readings: readonly Row[], gauge: string, seed: number): Row[] {
    const random = new Random(seed);
    const draw = (spreads: Spreads): Angles => ({
        camber_deg: random.normal(0, spreads.camber_deg),
        caster_deg: random.normal(0, spreads.caster_deg),
        toe_deg: random.normal(0, spreads.toe_deg),
        sai_deg: random.normal(0, spreads.sai_deg),
    });
    const bias = draw(priorBias);
    const mountings = new Map<string, Angles>();
    return readings.map((row) => {
        const key = `${row.vehicle} ${row.visit} ${row.corner}`;
        if (!mountings.has(key)) mountings.set(key, draw(priorSetUp));
        const mounting = mountings.get(key)!;
        const shifted = names.map((name) => [
            name,
            typeof row[name] === 'number'
                ? Math.round(100 * (row[name] + bias[name] + mounting[name])) / 100
                : row[name],
        ]);
        return { ...row, ...Object.fromEntries(shifted), gauge };
    });
}
