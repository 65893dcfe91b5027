import { readings } from '../../src/contracts/readings.js';
import { outOfRange } from '../../src/errors/loadMessages.js';
import { checks } from '../../src/model/checks.js';
import type { Book, CornerName, Phase, State } from '../../src/sheet/book.js';
import { numberColumns, type Row, type Visit } from '../../src/sheet/record.js';

const worth = {
    one: 0.04 * 0.04,
    shared: 0,
    set_up: 0.03 * 0.03,
    mounting: 0,
    bias: 0,
    bias_var: 0.02 * 0.02,
    walk: null,
};
const slope = {
    var_out: 1e-6,
    var_aft: 1e-6,
    cov_out_aft: 0,
    spread_var: 1e-6,
    basis: 'own' as const,
    move_count: 9,
};

/** A stored state of car A: kit K in index 1 at mark 0, camber -1.5, caster 7, toe 0. */
export const stored = (corner: CornerName, camber = -1.5): State => ({
    corner,
    visit: 'before',
    phase: 'after',
    on: '2026-03-01',
    kit: 'K',
    plate_hand: corner === 'FL' ? 'left' : 'right',
    plate_index: 1,
    mark_1: 0,
    mark_2: 0,
    place: { out_mm: 0, aft_mm: 0 },
    read_error: { oo: 0.08, oa: 0, aa: 0 },
    read: {
        camber: { deg: camber, count: 1 },
        caster: { deg: 7, count: 1 },
        toe: { deg: 0, count: 1 },
        sai: { deg: null, count: 0 },
    },
    mountings: 1,
    gauge: 'rack',
    technician: null,
});

/** A hand-made book: 0.09 deg of camber per mm outboard, 0.095 of caster per mm rearward, 0.036 of toe; 2 mm a mark, marks -5 to 5. */
export function handBook(): Book {
    const anyone = {
        gauge: null,
        technician: null,
        worth: { camber: worth, caster: worth, toe: worth, sai: worth },
    };
    return {
        book: 'b',
        sheet: 's',
        served: false,
        program: 'strutmark',
        made: '1 reading in 1 load, Strutmark 0',
        cars: [{ vehicle: 'A', chassis: 'X', states: [stored('FL'), stored('FR', -1.1)] }],
        chassis: [
            {
                chassis: 'X',
                slopes: {
                    camber: { ...slope, slope_out: 0.09, slope_aft: 0 },
                    caster: { ...slope, slope_out: 0, slope_aft: 0.095 },
                    toe: { ...slope, slope_out: 0.036, slope_aft: 0 },
                },
                goals: [
                    {
                        target: 'T',
                        target_order: 1,
                        camber_deg: -1,
                        camber_tol_deg: 0.1,
                        caster_deg: null,
                        caster_tol_deg: null,
                        toe_deg: null,
                        toe_tol_deg: null,
                        cross_camber_deg: 0,
                        cross_caster_deg: 0,
                        cross_camber_max_deg: null,
                        cross_caster_max_deg: null,
                    },
                ],
                usual: { camber: { deg: -1.3, var_deg2: 0.3 * 0.3 }, caster: null },
            },
        ],
        fits: [
            {
                kit: 'K',
                chassis: 'X',
                plate: {
                    index_count: 3,
                    index_step_deg: 120,
                    axis_deg: 0,
                    pitch_mm: 2,
                    mark_min: -5,
                    mark_max: 5,
                    mark2_min: 0,
                    mark2_max: 0,
                    two_scales: false,
                    centre_out_mm: 0,
                    centre_aft_mm: 0,
                    mark_error_mm2: 1 / 12,
                },
            },
        ],
        kits: ['K'],
        targets: ['T'],
        aim: 'T',
        gauges: ['rack'],
        technicians: [],
        readers: [anyone, { ...anyone, gauge: 'rack' }],
        columns: Object.fromEntries(
            numberColumns.map((name) => {
                const { min, max, unit } = readings.columns.find((column) => column.name === name)!;
                return [name, { min: min!, max: max!, beyond: outOfRange(min, max, unit) }];
            }),
        ),
        name: { pattern: '^[^<]+$', length: 200 },
        order: readings.columns.map(({ name }) => name),
        checks: Object.fromEntries(checks().map(({ name, title, likely }) => [name, { title, likely }])),
        spread: [6.63, 9.21, 11.34],
    };
}

export const visitOf = (more: Partial<Visit> = {}): Visit => ({
    id: 'now',
    vehicle: 'A',
    chassis: 'X',
    visit_kind: 'adjust',
    session: '',
    target: 'T',
    gauge: 'rack',
    technician: '',
    started_at: '2026-11-27T10:00:00',
    ...more,
});

export const rowOf = (
    corner: CornerName,
    phase: Phase,
    typed: Row['typed'],
    more: Partial<Row> = {},
): Row => ({
    visit: 'now',
    corner,
    phase,
    repeat: 1,
    measured_at: '2026-11-27T10:00',
    kit: 'K',
    plate_hand: corner === 'FL' ? 'left' : 'right',
    gauge: 'rack',
    technician: '',
    typed: { plate_index: '1', ...typed },
    taken: '',
    saved: '',
    ...more,
});
