import { places, type State, unknown, unread } from './chain.js';
import { angles, type Readers } from './readers.js';

/** A state of a corner as sql/drift/session_changes gives it. */
export interface StateRow {
    chassis: string;
    vehicle: string;
    corner: string;
    visit: string;
    visit_kind: string;
    phase: string;
    session: string | null;
    measured_ts: number;
    ordered_ts: number;
    kit: string | null;
    plate_hand: string | null;
    plate_index: number | null;
    mark_1: number | null;
    offset_out_mm: number | null;
    offset_aft_mm: number | null;
    pointer_var_mm2: number | null;
    /** Camber, caster, SAI and toe, NaN where not read, and the readings in each mean. */
    angles: readonly number[];
    counts: readonly number[];
    toe_reset: boolean | null;
    height_mm: number | null;
    reader: number;
}

/** One state of a corner, with what the row says of it. */
export interface Entry {
    row: StateRow;
    state: State;
    /** Its place among the states. */
    place: number;
}

export const isRear = ({ corner }: StateRow) => corner.startsWith('R');
export const isSession = ({ visit_kind }: StateRow) => visit_kind === 'session';

export function stateOf(row: StateRow, readers: Readers, isPair: boolean, tanCaster: number | null): State {
    const { values, variances } = unknown();
    const reader = readers.placeOf(row.reader);
    for (let place = 0; place < angles.length; place++) {
        const read = row.angles[place]!;
        // Of a rear nothing else is compared.
        if (Number.isNaN(read) || (isRear(row) && (place === places.caster || place === places.sai)))
            continue;
        values[place] = read;
        variances[place] = readers.variance(reader, place, row.counts[place]!, isPair);
    }
    const { toe, camber, equalToe } = places;
    if (tanCaster !== null && variances[toe] !== unread && variances[camber] !== unread) {
        values[equalToe] = values[camber]! + tanCaster * values[toe]!;
        variances[equalToe] = variances[camber]! + tanCaster * tanCaster * variances[toe]!;
    }
    return { values, variances, reader };
}

/** Change of the offset by the pointers, mm; null where it is not known or under a thousandth. */
export function pointerChange(earlier: StateRow, later: StateRow): readonly [number, number] | null {
    if (earlier.offset_out_mm === null || later.offset_out_mm === null) return null;
    const change = [
        later.offset_out_mm - earlier.offset_out_mm,
        later.offset_aft_mm! - earlier.offset_aft_mm!,
    ] as const;
    return Math.abs(change[0]) + Math.abs(change[1]) > 1e-3 ? change : null;
}

export const pointerVariance = (earlier: StateRow, later: StateRow) =>
    (earlier.pointer_var_mm2 ?? 0) + (later.pointer_var_mm2 ?? 0);

/** Nothing is touched on purpose over a session visit or a check; between visits and in the others, what the pointers say was set. */
export const isTouched = (earlier: StateRow, later: StateRow) =>
    earlier.visit !== later.visit || later.visit_kind === 'install' || later.visit_kind === 'adjust';

/** Whether two states of a corner have the same plate in the same bolt position. */
export const isSamePlate = (one: StateRow, other: StateRow) =>
    one.kit === other.kit &&
    one.plate_index === other.plate_index &&
    one.plate_hand === other.plate_hand &&
    one.chassis === other.chassis;
