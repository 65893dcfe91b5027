import { withinWalk } from '../stats/measurement/walks.js';
import { plateOffset } from '../stats/settings/plateSettings.js';
import type { Corner, Goal, PlaceError, Plate, Reading } from '../stats/settings/problem.js';
import {
    type Angle,
    angles,
    type Book,
    type CornerName,
    corners,
    type Mean,
    type Phase,
    phaseNames,
    type State,
    type Worth,
} from './book.js';
import { isReading, numberOf, type Row, type Visit } from './record.js';

const NO_ERROR: PlaceError = { oo: 0, oa: 0, aa: 0 };

const ownSide = (corner: CornerName) => (corner.endsWith('L') ? 'left' : 'right');

/** The plate of `kit` on a chassis; undefined where the book knows none with ends of scale. */
export function plateOf(book: Book, kit: string | null, chassis: string): Plate | undefined {
    return book.fits.find((fit) => fit.kit === kit && fit.chassis === chassis)?.plate;
}

type Placed = Pick<
    State,
    'kit' | 'plate_hand' | 'plate_index' | 'mark_1' | 'mark_2' | 'place' | 'read_error'
>;

/** Where a row puts the bearing, as the view `placements` does: measured offsets win over marks. */
export function placed(book: Book, chassis: string, row: Row): Placed {
    const marked = markedPlace(book, chassis, row);
    const [out, aft] = [row.typed.offset_out_mm, row.typed.offset_aft_mm].map(numberOf);
    const [out_mm, aft_mm] = [out ?? marked.place?.out_mm, aft ?? marked.place?.aft_mm];
    if (out_mm === undefined || aft_mm === undefined) return marked;
    const isMeasured = typeof out === 'number' && typeof aft === 'number';
    // Offsets are measured to a tenth of a millimetre.
    const read_error = isMeasured ? { oo: 0.01 / 12, oa: 0, aa: 0.01 / 12 } : marked.read_error;
    return { ...marked, place: { out_mm, aft_mm }, read_error };
}

function markedPlace(book: Book, chassis: string, row: Row): Placed {
    const [index, first, second] = (['plate_index', 'mark_1', 'mark_2'] as const).map((column) =>
        numberOf(row.typed[column]),
    ) as [number | null, number | null, number | null];
    if (row.kit === '') {
        const at = {
            plate_hand: null,
            plate_index: index,
            mark_1: first,
            mark_2: first === null ? second : (second ?? 0),
        };
        return { kit: null, ...at, place: { out_mm: 0, aft_mm: 0 }, read_error: NO_ERROR };
    }
    const plate = plateOf(book, row.kit, chassis);
    const plate_index = plate?.index_count === 1 ? (index ?? 1) : index;
    const own = ownSide(row.corner);
    const plate_hand = row.plate_hand === '' ? own : row.plate_hand;
    const mark_2 = plate?.two_scales || first === null ? second : (second ?? 0);
    const known = { kit: row.kit, plate_hand, plate_index, mark_1: first, mark_2 } as const;
    if (plate === undefined || plate_index === null || plate_index > plate.index_count) {
        return { ...known, place: null, read_error: null };
    }
    const mirrored = plate_hand !== own;
    const direction = ((plate.axis_deg + (plate_index - 1) * plate.index_step_deg) * Math.PI) / 180;
    const [cos, sin] = [Math.cos(direction), Math.sin(direction)];
    const error = plate.mark_error_mm2;
    return {
        ...known,
        place: plateOffset(plate, plate_index, mirrored, first, mark_2),
        read_error: plate.two_scales
            ? { oo: error, oa: 0, aa: error }
            : { oo: error * cos * cos, oa: error * sin * cos * (mirrored ? -1 : 1), aa: error * sin * sin },
    };
}

/** Mean in whole millionths, rounded once, as the macro `exact_mean`. */
function meanOf(values: readonly (number | null)[]): Mean {
    const known = values.filter((value) => value !== null);
    if (known.length === 0) return { deg: null, count: 0 };
    const sum = known.reduce((total, value) => total + Math.round(value * 1e6), 0);
    return { deg: sum / known.length / 1e6, count: known.length };
}

const same = <T>(values: readonly T[]): boolean => values.every((value) => value === values[0]);

/** Mountings that readings in order are of, as table `states` counts them. */
function mountingsOf(read: readonly Row[]): number {
    const isAnew = (row: Row) => row.typed.remounted === 'yes' && row.repeat > 1;
    const mounted = read.map(
        (row, at) =>
            `${read.slice(0, at + 1).filter((one) => one.gauge === row.gauge && isAnew(one)).length} ${row.gauge}`,
    );
    const pairs = mounted.reduce((sum, one) => sum + mounted.filter((other) => other === one).length, 0);
    return (read.length * read.length) / pairs;
}

/** The state that repeats are readings of, as table `states` has it; undefined without a reading. */
export function stateOf(book: Book, visit: Visit, rows: readonly Row[]): State | undefined {
    const read = rows.filter(isReading).sort((a, b) => a.repeat - b.repeat);
    const [first] = read;
    if (first === undefined) return undefined;
    const places = read.map((row) => placed(book, visit.chassis, row));
    const [at] = places as [(typeof places)[number]];
    const spread = (axis: 'out_mm' | 'aft_mm') => {
        const values = places.map(({ place }) => place?.[axis] ?? Number.NaN);
        return Math.max(...values) - Math.min(...values);
    };
    const one = same(places.map(({ kit }) => kit)) && spread('out_mm') < 1e-3 && spread('aft_mm') < 1e-3;
    const mean = (values: (number | null)[]) => meanOf(values).deg;
    return {
        corner: first.corner,
        visit: visit.id,
        phase: first.phase,
        on: first.measured_at.slice(0, 10),
        kit: at.kit,
        plate_hand: at.plate_hand,
        plate_index: at.plate_index,
        mark_1: mean(places.map(({ mark_1 }) => mark_1)),
        mark_2: mean(places.map(({ mark_2 }) => mark_2)),
        place: one
            ? {
                  out_mm: mean(places.map(({ place }) => place!.out_mm))!,
                  aft_mm: mean(places.map(({ place }) => place!.aft_mm))!,
              }
            : null,
        read_error: one ? at.read_error : null,
        read: Object.fromEntries(
            angles.map((angle) => [angle, meanOf(read.map((row) => numberOf(row.typed[`${angle}_deg`])))]),
        ) as Record<Angle, Mean>,
        mountings: mountingsOf(read),
        gauge: same(read.map(({ gauge }) => gauge)) ? first.gauge || null : null,
        technician: same(read.map(({ technician }) => technician)) ? first.technician || null : null,
    };
}

/** The states of a car, typed and stored, newest first. */
export function statesOf(
    book: Book,
    vehicle: string,
    visits: readonly Visit[],
    rows: readonly Row[],
): State[] {
    const typed = visits
        .filter((visit) => visit.vehicle === vehicle)
        .sort((a, b) => (a.started_at < b.started_at ? 1 : -1))
        .flatMap((visit) =>
            [...phaseNames].reverse().flatMap((phase: Phase) =>
                corners.flatMap((corner) => {
                    const own = rows.filter(
                        (row) => row.visit === visit.id && row.phase === phase && row.corner === corner,
                    );
                    return stateOf(book, visit, own) ?? [];
                }),
            ),
        );
    // A visit that was loaded and is on the device still counts as it stands here.
    const ids = new Set(typed.map(({ visit }) => visit));
    const stored = book.cars.find((car) => car.vehicle === vehicle)?.states ?? [];
    return [...typed, ...stored.filter(({ visit }) => !ids.has(visit))];
}

/** What a reading by this gauge and person is worth; whoever is not known is anyone. */
export function worthOf(book: Book, by: Pick<State, 'gauge' | 'technician'>, angle: Angle): Worth {
    const found = book.readers
        .slice(1)
        .find(({ gauge, technician }) => gauge === by.gauge && technician === by.technician);
    return (found ?? book.readers[0]!).worth[angle];
}

/** Variance of the mean of `count` repeats, as the macro `mean_var`. */
export const meanVar = ({ one, shared }: Worth, count: number): number => shared + (one - shared) / count;

/** Variance of what the set-ups of `mountings` add to a mean, as the macro `set_up_over`. */
const setUpOver = ({ set_up, mounting }: Worth, mountings: number): number =>
    set_up - mounting * (1 - 1 / mountings);

/** The bias on a day, and its variance, as the macros `walked` and `bias_var_then`. */
function biasThen({ bias, bias_var, walk }: Worth, on: string | null) {
    const days = on === null ? Number.NaN : Date.parse(on.slice(0, 10)) / 86_400_000;
    if (walk === null || Number.isNaN(days)) return { bias, bias_var };
    const [rate, rateVar, middle, length] = walk;
    const weeks = withinWalk(days / 7 - middle, length);
    const ofNoDay = ((rate * rate + rateVar) * length * length) / 12;
    return { bias: bias + rate * weeks, bias_var: bias_var + rateVar * weeks * weeks - ofNoDay };
}

function readingOf(book: Book, state: State | undefined, angle: Angle): Reading {
    const mean = state?.read[angle] ?? { deg: null, count: 0 };
    const worth = state === undefined ? book.readers[0]!.worth[angle] : worthOf(book, state, angle);
    const mean_var_deg2 = mean.count === 0 ? null : meanVar(worth, mean.count);
    const set_up_var_deg2 = setUpOver(worth, state?.mountings ?? 1);
    const { bias, bias_var } = biasThen(worth, state?.on ?? null);
    return {
        deg: mean.deg,
        gauge: angle === 'toe' ? null : (state?.gauge ?? null),
        bias_deg: bias,
        bias_var_deg2: bias_var,
        set_up_var_deg2,
        next_var_deg2: worth.set_up + worth.one,
        mean_var_deg2,
        var_deg2: mean_var_deg2 === null ? null : mean_var_deg2 + set_up_var_deg2 + bias_var,
    };
}

/** The newest of `states` of a corner, and those that tell its angles: an angle that it lacks was read at the same place before. */
function presentOf(states: readonly State[], corner: CornerName) {
    const own = states.filter((state) => state.corner === corner);
    const [newest] = own;
    if (newest === undefined) return undefined;
    const here = ({ kit, plate_index, place }: State) =>
        kit === newest.kit &&
        plate_index === newest.plate_index &&
        place !== null &&
        newest.place !== null &&
        Math.abs(place.out_mm - newest.place.out_mm) < 1e-3 &&
        Math.abs(place.aft_mm - newest.place.aft_mm) < 1e-3;
    const reading = (angle: Angle) =>
        newest.read[angle].deg === null
            ? own.find((state) => here(state) && state.read[angle].deg !== null)
            : newest;
    return { newest, camber: reading('camber'), caster: reading('caster'), toe: reading('toe') };
}

/** Why a corner cannot be answered for. */
export type NoAnswer = 'not_read' | 'no_angles' | 'no_place' | 'no_index' | 'no_kit' | 'no_plate' | 'no_goal';

/**
 * A front corner as it stands by `states`, newest first: the problem of `src/stats/settings`, as sql/questions/120 gathers it; `kit`
 * instead of the present one where it is given. A {@link NoAnswer} where it cannot be asked about.
 */
export function cornerOf(
    book: Book,
    { vehicle, chassis }: { vehicle: string; chassis: string },
    states: readonly State[],
    corner: 'FL' | 'FR',
    { kit, target, anyIndex }: { kit: string | null; target: string; anyIndex: boolean },
): Corner | NoAnswer {
    const present = presentOf(states, corner);
    if (present === undefined) return 'not_read';
    const { newest } = present;
    const { plate_hand, plate_index, mark_1, mark_2, place, read_error } = newest;
    const new_kit = kit ?? newest.kit;
    if (place === null || read_error === null) return plate_index === null ? 'no_index' : 'no_place';
    const [camber, caster, toe] = (['camber', 'caster', 'toe'] as const).map((angle) =>
        readingOf(book, present[angle], angle),
    ) as [Reading, Reading, Reading];
    if (camber.deg === null && caster.deg === null) return 'no_angles';
    if (new_kit === null) return 'no_kit';
    const plate = plateOf(book, new_kit, chassis);
    const known = book.chassis.find((one) => one.chassis === chassis);
    if (plate === undefined || known === undefined) return 'no_plate';
    if (newest.kit === new_kit && plate_index === null && !anyIndex) return 'no_index';
    const goal: Goal | undefined = known.goals.find((one) => one.target === target);
    if (goal === undefined) return 'no_goal';
    return {
        vehicle,
        chassis,
        corner,
        kit: newest.kit,
        new_kit,
        plate_hand,
        plate_index,
        mark_1,
        mark_2,
        offset_out_mm: place.out_mm,
        offset_aft_mm: place.aft_mm,
        read_error,
        camber,
        caster,
        toe,
        plate,
        slopes: known.slopes,
        goals: [{ ...goal, target_order: 1 }],
    };
}
