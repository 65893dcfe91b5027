import { type AuditRow, auditResponses, auditRow } from '../contracts/results/audit.js';
import type { Database } from '../db/database.js';
import { UserError } from '../errors/errors.js';
import { noReadings, noTargets } from '../errors/messages.js';
import { auditNotes } from './auditNotes.js';
import { type AuditQuestion, defaultQuestion } from './auditQuestion.js';

/** What has to be there before it can be asked. */
export const auditNeeds = ['audited', 'audit_notes'];

/**
 * Whether installs and adjustments hit their targets: per group and angle, the whole first, groups by rank; and what a reader
 * must know as sentences. Throws a {@link UserError} when there is nothing to judge or to judge by.
 */
export async function audit(
    db: Database,
    question: Partial<AuditQuestion> = {},
): Promise<{ rows: AuditRow[]; notes: string[] }> {
    const asked = { ...defaultQuestion, ...question };
    const [loaded] = await db.cells(
        'select (select count(*) from readings) as readings, (select count(*) from targets) as targets',
    );
    if (loaded!.readings === 0) throw new UserError(noReadings(), 'no_readings');
    if (loaded!.targets === 0) throw new UserError(noTargets(), 'not_in_data');
    const columns = Object.keys(auditRow.shape).map((name) => `"${name}"`);
    const rows = await db.rows(
        auditRow,
        `select ${columns.join(', ')}
        from audited($by_1::varchar, $by_2::varchar, $guard::double, $days::integer, $anonymous::boolean)
        order by split_by = 'overall' desc, list_position($responses::json::varchar[], response),
            case when $by_1 = 'month' then "group" end, rank, "group"`,
        {
            by_1: asked.by[0] ?? null,
            by_2: asked.by[1] ?? null,
            guard: asked.guard,
            days: asked.comeBackDays,
            anonymous: asked.anonymous,
            responses: JSON.stringify(auditResponses),
        },
    );
    return { rows, notes: await auditNotes(db, rows, asked) };
}
