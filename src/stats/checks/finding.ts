import type { Row } from '../tables/batch.js';

/** What a check says of one place; the last columns as `src/model/check.ts` and `checkCauses.ts` read them. */
export interface Finding {
    chassis: string | null;
    vehicle: string | null;
    corner: string | null;
    visit: string | null;
    finding: string;
    p_mistake: number;
    source_file: string | null;
    source_line: number | null;
    source_kind?: string;
    source_name?: string;
    angle?: string;
    read_deg?: number | null;
    expected_deg?: number | null;
    limit_deg?: number;
    expected_of?: string;
}

/** Some rows of a check's query, by column; of numbers in typed arrays, NaN where they are null. */
export interface Records {
    names: readonly string[];
    columns: readonly ArrayLike<unknown>[];
}

/** Whole tables, by their names. */
export type Whole = Readonly<Record<string, readonly Row[]>>;

/** Makes the findings of a check from the rows of its query, in whatever order, and whole tables besides. */
export type CheckFunction = (batches: AsyncIterable<Records>, whole: Whole) => AsyncIterable<Finding>;
