import { onePlate } from '../../fixtures/physics/kits.js';
import { type Place, plateOffset } from '../../fixtures/physics/plate.js';

export type Row = Record<string, string | number | null | undefined>;

/** Slopes of the hand-made cars, deg/mm: what a corner of 57.3 / 0.09 = 637 mm does, toe 0.4 deg per deg of camber. */
export const slopes = { camber: 0.09, caster: 0.095, toe: 0.036, sai: -0.09 };

/** One state of a corner: phase, pointer and bolt position; null mark = original mount. */
export interface Stand {
    phase: 'before' | 'moved' | 'after';
    mark: number | null;
    index?: number;
    otherHand?: boolean;
}

/** Small errors that add up to nothing, in the order of the rows, so that no case is perfectly smooth. */
const ripple = [0.01, -0.02, 0.02, -0.01, 0.03, -0.03];

/** Offset of kit AMBER-3 (pitch 2 mm, axis 0, centre 2 mm aft) by the rule of the contract, section 3. */
export function offset(corner: string, { mark, index = 1, otherHand = false }: Omit<Stand, 'phase'>) {
    if (mark === null) return { out: 0, aft: 0 };
    const place: Place = { index, mark_1: mark, mark_2: 0, otherHand };
    return corner.startsWith('F') ? plateOffset(onePlate, place) : { out: 0, aft: 0 };
}

/** Rows of one corner in one visit of a sound car that follows {@link slopes} exactly but for hundredths. */
export function corner(
    name: { vehicle: string; chassis: string; visit: string; corner: string },
    stands: readonly Stand[],
    more: Row = {},
    roughness = 1,
): Row[] {
    const seed = [...`${name.vehicle}${name.visit}${name.corner}`].reduce(
        (sum, c) => sum + c.charCodeAt(0),
        0,
    );
    const left = name.corner.endsWith('L') ? 0.2 : 0;
    const start = offset(name.corner, stands[0]!);
    return stands.map((stand, i) => {
        const { out, aft } = offset(name.corner, stand);
        const error = (k: number) => roughness * ripple[(seed + 2 * i + k) % ripple.length]!;
        const round = (value: number) => Math.round(100 * value) / 100;
        const toe = stand.phase === 'after' ? 0.06 : 0.06 + slopes.toe * (out - start.out);
        const caster = 6 + slopes.caster * aft + 2 * error(1) - left;
        // Camber falls by tan(caster) per deg of toe-in; the slopes hold at equal toe.
        const camber =
            -1.2 + slopes.camber * out + error(0) - left - Math.tan((6 * Math.PI) / 180) * (toe - 0.06);
        const own = name.corner.endsWith('L') ? 'left' : 'right';
        return {
            ...name,
            measured_at: `2026-03-02T${9 + i}:00`,
            visit_kind: 'adjust',
            phase: stand.phase,
            ...(stand.mark === null || !name.corner.startsWith('F')
                ? {}
                : {
                      kit: onePlate.kit,
                      plate_index: stand.index ?? 1,
                      plate_hand: stand.otherHand ? (own === 'left' ? 'right' : 'left') : own,
                      mark_1: stand.mark,
                  }),
            camber_deg: round(camber),
            caster_deg: round(caster),
            toe_deg: round(toe + error(2) / 2),
            sai_deg: round(12.5 + slopes.sai * out + 2 * error(3)),
            gauge: 'rack A',
            technician: 'A',
            ...more,
        };
    });
}

/** Sound cars of one chassis, enough for it to know its slopes: eight, both fronts, before, moved and after. */
export function soundCars(chassis: string, roughness = 1): Row[] {
    const stands = (car: number): Stand[] => [
        { phase: 'before', mark: ((car * 3) % 7) - 3, index: 1 + (car % 3) },
        { phase: 'moved', mark: ((car * 5) % 9) - 4, index: 1 + (car % 3) },
        { phase: 'after', mark: ((car * 2) % 7) - 4, index: 1 + (car % 3) },
    ];
    return [1, 2, 3, 4, 5, 6, 7, 8].flatMap((car) =>
        ['FL', 'FR'].flatMap((side) => {
            const name = { vehicle: `${chassis} sound ${car}`, chassis, visit: 'v1', corner: side };
            return corner(name, stands(car), {}, roughness);
        }),
    );
}

export const kit: Row = { ...onePlate };
