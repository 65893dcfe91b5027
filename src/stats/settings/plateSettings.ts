import type { Corner, PlaceError, Plate, Search } from './problem.js';

/** A place that the plates of a corner can put the bearing to; `stay`: the present one. */
export interface PlateSetting {
    corner: Corner;
    plate_hand: 'left' | 'right';
    own_hand: 'left' | 'right';
    plate_index: number;
    same_clocking: boolean;
    stay: boolean;
    /** Null = stays at an offset that was measured without marks. */
    mark_1: number | null;
    mark_2: number | null;
    out_mm: number;
    aft_mm: number;
    /** Of the move: pointer read before and set after. */
    place_error: PlaceError;
    /** Of setting the pointer alone. */
    set_error: PlaceError;
}

const radians = (degrees: number) => (degrees * Math.PI) / 180;

/** `x` to `digits` decimal places, halves away from zero. */
export function rounded(x: number, digits: number): number {
    let scale = 1;
    for (let i = 0; i < digits; i++) scale *= 10;
    return (Math.sign(x) * Math.round(Math.abs(x) * scale)) / scale;
}

/** The marks of a scale in steps counted from 0, both ends included, in order. */
export function markGrid(low: number, high: number, step: number): number[] {
    const marks = new Set([low, high]);
    const last = Math.floor(high / step + 1e-9);
    for (let k = Math.ceil(low / step - 1e-9); k <= last; k++) marks.add(rounded(k * step, 6) + 0);
    return [...marks].sort((a, b) => a - b);
}

/** Bearing offset (mm) in the vehicle frame from a plate's marks: contract, section 3; rounded to a millionth. Null without marks. */
export function plateOffset(
    plate: Plate,
    index: number,
    mirrored: boolean,
    mark_1: number | null,
    mark_2: number | null,
): { out_mm: number; aft_mm: number } | null {
    if (mark_1 === null || mark_2 === null) return null;
    const [cosAxis, sinAxis] = [Math.cos(radians(plate.axis_deg)), Math.sin(radians(plate.axis_deg))];
    const turn = radians((index - 1) * plate.index_step_deg);
    const out = plate.centre_out_mm + plate.pitch_mm * (mark_1 * cosAxis - mark_2 * sinAxis);
    const aft = plate.centre_aft_mm + plate.pitch_mm * (mark_1 * sinAxis + mark_2 * cosAxis);
    const across = out * Math.cos(turn) - aft * Math.sin(turn);
    return {
        out_mm: rounded(mirrored ? -across : across, 6),
        aft_mm: rounded(out * Math.sin(turn) + aft * Math.cos(turn), 6),
    };
}

const NONE: PlaceError = { oo: 0, oa: 0, aa: 0 };

function add(first: PlaceError, second: PlaceError, more: number): PlaceError {
    return {
        oo: first.oo + second.oo + more,
        oa: first.oa + second.oa,
        aa: first.aa + second.aa + more,
    };
}

/** Which plates and bolt positions of a corner are looked over. */
function clockings(corner: Corner, { any_clocking, index, hand }: Search) {
    const { plate } = corner;
    const own = corner.corner === 'FL' ? 'left' : 'right';
    const keeps = corner.kit === corner.new_kit && !any_clocking;
    const otherHand = own === 'left' ? 'right' : 'left';
    const askedHand = hand === null ? null : hand === 'own' ? own : otherHand;
    const oneIndex = index ?? (keeps ? corner.plate_index : null);
    const oneHand = askedHand ?? (keeps ? corner.plate_hand : null);
    const hands = (['left', 'right'] as const).filter((one) => oneHand === null || one === oneHand);
    const indices = Array.from({ length: plate.index_count }, (_, i) => i + 1).filter(
        (one) => oneIndex === null || one === oneIndex,
    );
    return hands.flatMap((plate_hand) =>
        indices.map((plate_index) => ({ plate_hand, plate_index, own_hand: own as 'left' | 'right' })),
    );
}

/**
 * Every setting that the plates of `corner` can take, and the present one. Where the offset was measured, the plate's own geometry is
 * moved to agree with it. A change of mount leaves the bearing's centre unsure by 1 mm (from memory).
 */
export function plateSettings(corner: Corner, search: Search): PlateSetting[] {
    const { plate } = corner;
    const fitted = corner.kit === corner.new_kit;
    const seconds = plate.two_scales ? markGrid(plate.mark2_min, plate.mark2_max, search.step) : [0];
    const firsts = markGrid(plate.mark_min, plate.mark_max, search.step);
    return clockings(corner, search).flatMap((clocking) => {
        const { plate_hand, plate_index, own_hand } = clocking;
        const mirrored = plate_hand !== own_hand;
        const same_clocking =
            fitted && corner.plate_hand === plate_hand && corner.plate_index === plate_index;
        const byMarks = plateOffset(plate, plate_index, mirrored, corner.mark_1, corner.mark_2);
        const shift =
            same_clocking && byMarks !== null
                ? { out: corner.offset_out_mm - byMarks.out_mm, aft: corner.offset_aft_mm - byMarks.aft_mm }
                : { out: 0, aft: 0 };
        const direction = radians(plate.axis_deg + (plate_index - 1) * plate.index_step_deg);
        const [cos, sin] = [Math.cos(direction), Math.sin(direction)];
        const set_error: PlaceError = {
            oo: plate.mark_error_mm2 * (plate.two_scales ? 1 : cos * cos),
            oa: plate.mark_error_mm2 * (plate.two_scales ? 0 : sin * cos) * (mirrored ? -1 : 1),
            aa: plate.mark_error_mm2 * (plate.two_scales ? 1 : sin * sin),
        };
        const place_error = add(corner.read_error, set_error, fitted ? 0 : 1);
        const settings = firsts.flatMap((mark_1) =>
            seconds
                .filter((mark_2) => !same_clocking || mark_1 !== corner.mark_1 || mark_2 !== corner.mark_2)
                .map((mark_2): PlateSetting => {
                    const place = plateOffset(plate, plate_index, mirrored, mark_1, mark_2)!;
                    return {
                        corner,
                        ...clocking,
                        same_clocking,
                        stay: false,
                        mark_1,
                        mark_2,
                        out_mm: rounded(place.out_mm + shift.out, 6),
                        aft_mm: rounded(place.aft_mm + shift.aft, 6),
                        place_error,
                        set_error,
                    };
                }),
        );
        if (!same_clocking) return settings;
        const present: PlateSetting = {
            corner,
            ...clocking,
            same_clocking,
            stay: true,
            mark_1: corner.mark_1,
            mark_2: corner.mark_2,
            out_mm: corner.offset_out_mm,
            aft_mm: corner.offset_aft_mm,
            place_error: NONE,
            set_error,
        };
        return [...settings, present];
    });
}
