import { z } from 'zod';
import { adviseRow } from '../contracts/results/advise.js';

/** A row of the SQL question `advised`: the published row and what the sentences about it need besides. */
export const advisedRow = adviseRow
    .omit({ words: true, class: true, p_camber_over: true, p_caster_over: true })
    .extend({
        vehicle: z.string(),
        present_kit: z.string().nullable(),
        present_mark_1: z.number().nullable(),
        present_camber_deg: z.number().nullable(),
        present_caster_deg: z.number().nullable(),
        present_toe_deg: z.number().nullable(),
        cross_camber_max_deg: z.number().nullable(),
        cross_caster_max_deg: z.number().nullable(),
        target_cross_camber_deg: z.number().nullable(),
        target_cross_caster_deg: z.number().nullable(),
        target_camber_deg: z.number().nullable(),
        camber_tol_deg: z.number().nullable(),
        target_caster_deg: z.number().nullable(),
        caster_tol_deg: z.number().nullable(),
        target_toe_deg: z.number().nullable(),
        toe_tol_deg: z.number().nullable(),
    });

export type AdvisedRow = z.infer<typeof advisedRow>;
