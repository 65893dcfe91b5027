import { z } from 'zod';
import { count, probability } from '../../src/contracts/results/result.js';

const text = z.string().nullable();

/** Rows of the queries in this folder, by file name. */
export const schemas = {
    findings: z.object({
        check_name: z.string(),
        title: z.string(),
        likely: z.string(),
        mend: z.string(),
        chassis: text,
        vehicle: text,
        corner: text,
        visit: text,
        finding: z.string(),
        p_mistake: probability,
        source_file: text,
        source_line: z.int().nullable(),
        check_count: count,
        open_count: count,
        mistake_count: count,
        reading_count: count,
    }),
    failed: z.object({ check_name: z.string(), failure: z.string() }),
    levels: z.object({
        vehicle: z.string(),
        corner: text,
        visit: text,
        angle: z.string(),
        label: z.string(),
        read_deg: z.number(),
        expected_deg: z.number(),
        expected_of: z.string(),
        off_deg: z.number(),
        limit_deg: z.number(),
        limits_off: z.number(),
        shown: z.number(),
        from_zero: z.number(),
        told: z.string(),
    }),
};

export type Rows = { readonly [K in keyof typeof schemas]: readonly z.infer<(typeof schemas)[K]>[] };
export type Suspect = Rows['findings'][number];
