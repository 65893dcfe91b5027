import { z } from 'zod';
import type { CheckRow } from '../contracts/results/check.js';
import { type Database, identifier } from '../db/database.js';
import type { Check } from './checks.js';

/** An open finding and the rows that it is about. */
export interface Cause {
    check: Check;
    row: CheckRow;
    isAbout(row: CheckRow): boolean;
}

/** What a check of habits adds to its rows: whose numbers it judged. */
export const sourceColumns = z.object({
    source_kind: z.enum(['file', 'technician', 'gauge', 'visit']).nullish(),
    source_name: z.string().nullish(),
});
const visitKey = z.object({ vehicle: z.string(), visit: z.string() });

/** The rows that a finding is about: of its car, visit and corner, of its chassis, or of the visits of its file, technician or gauge. */
export async function aboutRows(
    db: Database,
    row: CheckRow,
    { source_kind, source_name }: z.infer<typeof sourceColumns>,
): Promise<Cause['isAbout']> {
    if (!source_kind || !source_name || row.vehicle !== null) {
        return (other) =>
            row.chassis === other.chassis &&
            (row.vehicle === null || row.vehicle === other.vehicle) &&
            (row.visit === null || row.visit === other.visit) &&
            (row.corner === null || row.corner === other.corner);
    }
    const column = source_kind === 'file' ? 'source_file' : source_kind;
    const visits = await db.rows(
        visitKey,
        `select distinct vehicle, visit from readings where ${identifier(column)} = $name`,
        { name: source_name },
    );
    const known = new Set(visits.flatMap(({ vehicle, visit }) => [vehicle, `${vehicle}\n${visit}`]));
    return ({ vehicle, visit }) => known.has(visit === null ? String(vehicle) : `${vehicle}\n${visit}`);
}

/** How much surer than its cause a finding that is a cause itself must be to stand for itself. */
const MARGIN = 0.05;

/** Whether `row` of `check` is likely a consequence of `cause`. */
export function explains(cause: Cause, check: Check, row: CheckRow): boolean {
    const margin = check.explains.length > 0 ? MARGIN : 1;
    return (
        cause.check.explains.includes(check.name) &&
        cause.isAbout(row) &&
        (cause.row.p_mistake ?? 0) >= (row.p_mistake ?? 0) - margin
    );
}
