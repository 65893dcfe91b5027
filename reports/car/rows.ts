import { z } from 'zod';
import { driftRow } from '../../src/contracts/results/drift.js';
import { chassisCode, count, estimate } from '../../src/contracts/results/result.js';
import { marksText } from '../../src/report/plan.js';

const corner = z.enum(['FL', 'FR']);
const hand = z.enum(['left', 'right']);

/** Rows of the queries in this folder, by file name. */
export const schemas = {
    cars: z.object({
        vehicle: z.string(),
        chassis: chassisCode,
        place: z.int().min(1),
        car_count: count,
        visit_count: count,
        first_day: z.string().nullable(),
        last_day: z.string().nullable(),
    }),
    history: z.object({
        vehicle: z.string(),
        corner,
        visit: z.string(),
        visit_kind: z.string(),
        phase: z.string(),
        day: z.string().nullable(),
        age: z.int().min(1),
        kit: z.string().nullable(),
        plate_hand: hand.nullable(),
        plate_index: z.int().nullable(),
        mark_1: estimate,
        mark_2: estimate,
        offset_out_mm: estimate,
        offset_aft_mm: estimate,
        camber_deg: estimate,
        caster_deg: estimate,
        toe_deg: estimate,
        target: z.string().nullable(),
        is_set: z.boolean(),
    }),
    scales: z.object({
        vehicle: z.string(),
        corner,
        place: z.int().min(1),
        index_count: z.int().min(1),
        index_step_deg: z.number(),
        other_hand: z.boolean(),
        plate_index: z.int().min(1),
        mark_1: z.number(),
        mark_2: estimate,
        out_mm: z.number(),
        aft_mm: z.number(),
    }),
    sessions: driftRow.omit({ words: true, reading_that_would_tell: true, is_open: true }).extend({
        has_sai: z.boolean(),
        day: z.string().nullable(),
    }),
};

export type Rows = { readonly [K in keyof typeof schemas]: readonly z.infer<(typeof schemas)[K]>[] };
export type Car = Rows['cars'][number];
export type State = Rows['history'][number];

export const fronts = ['FL', 'FR'] as const;

/** The newest state of a front; none where it was never read. */
export function present({ history }: Rows, vehicle: string, front: 'FL' | 'FR'): State | undefined {
    return history.find((row) => row.vehicle === vehicle && row.corner === front && row.age === 1);
}

/** Pointer of a state, with its second scale where the plate has one. */
export function markOf({ scales }: Rows, row: State): string {
    const isTwo = scales.some(
        (mark) => mark.vehicle === row.vehicle && mark.corner === row.corner && mark.mark_2 !== null,
    );
    return marksText(row.mark_1, row.mark_2 === 0 && !isTwo ? null : row.mark_2);
}

/** A setting of a visit, of one or both fronts. */
export interface Setting {
    visit: string;
    day: string | null;
    target: string | null;
    sides: Partial<Record<'FL' | 'FR', State>>;
}

/** Settings that the car was left at, newest first. */
export function settingsOf({ history }: Rows, vehicle: string): Setting[] {
    const settings = new Map<string, Setting>();
    const set = history.filter((row) => row.vehicle === vehicle && row.is_set);
    for (const row of [...set].sort((a, b) => a.age - b.age)) {
        const known = settings.get(row.visit) ?? {
            visit: row.visit,
            day: row.day,
            target: row.target,
            sides: {},
        };
        known.sides[row.corner] ??= row;
        settings.set(row.visit, known);
    }
    return [...settings.values()];
}
