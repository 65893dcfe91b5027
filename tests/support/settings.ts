import type { Rows } from './memory.js';

type Row = Rows[number];

/** An invented kit: one scale across the car at index 1, 2 mm a mark, centred. */
export const plainKit = {
    kit: 'K',
    axis_deg: 0,
    mark_pitch_mm: 2,
    mark_min: -5,
    mark_max: 5,
    centre_out_mm: 0,
    centre_aft_mm: 0,
};

/** A reading of `corner` of car A as it stands, on kit K in index 1 at mark 0 unless told otherwise. */
export function standing(corner: 'FL' | 'FR', fields: Row = {}): Row {
    return {
        vehicle: 'A',
        chassis: 'X',
        corner,
        measured_at: '2026-03-01T10:00',
        visit: 'now',
        visit_kind: 'check',
        phase: 'before',
        kit: 'K',
        plate_index: 1,
        mark_1: 0,
        camber_deg: -0.5,
        caster_deg: 7,
        ...fields,
    };
}

/** Visits of other cars of the chassis that move a corner by marks of kit K and read exactly what `slopes` (deg/mm) give. */
export function exactMoves(
    chassis: string,
    slopes: { camber: [number, number]; caster: [number, number]; toe: [number, number] },
): Row[] {
    const moves = [
        { index: 1, from: 0, to: 5 },
        { index: 1, from: -3, to: 2 },
        { index: 2, from: 0, to: 4 },
        { index: 3, from: -4, to: 4 },
        { index: 2, from: -5, to: 0 },
        { index: 3, from: 1, to: 5 },
    ];
    return moves.flatMap(({ index, from, to }, i) =>
        ([from, to] as const).map((mark, order): Row => {
            const turn = ((index - 1) * 120 * Math.PI) / 180;
            const [out, aft] = [2 * mark * Math.cos(turn), 2 * mark * Math.sin(turn)];
            const angle = ([perOut, perAft]: [number, number]) => perOut * out + perAft * aft;
            const caster = 7 + angle(slopes.caster);
            const toe = angle(slopes.toe);
            return {
                ...standing(i % 2 === 0 ? 'FL' : 'FR'),
                chassis,
                vehicle: `${chassis} other ${i}`,
                visit: `${chassis} visit ${i}`,
                visit_kind: 'adjust',
                phase: order === 0 ? 'before' : 'moved',
                measured_at: `2026-02-0${i + 1}T1${order}:00`,
                plate_index: index,
                mark_1: mark,
                // Slopes of camber hold at equal toe.
                camber_deg: -1 + angle(slopes.camber) - Math.tan((7 * Math.PI) / 180) * toe,
                caster_deg: caster,
                toe_deg: toe,
            };
        }),
    );
}
