import { type RangeRow, rangeRow } from '../contracts/results/range.js';
import type { Database } from '../db/database.js';
import { UserError } from '../errors/errors.js';
import { noReadings, noTargets } from '../errors/messages.js';
import { classShareNeeds, classShares } from './classShares.js';
import { requireName } from './names.js';
import { rangeNotes } from './rangeNotes.js';

/** What to look at; nothing named = all of it. */
export interface RangeQuestion {
    chassis?: string | undefined;
    kit?: string | undefined;
    target?: string | undefined;
    /** Class of the rules file, whose limits the cars as last read are held against. */
    class?: string | undefined;
}

/** What has to be there before it can be asked. */
export const rangeNeeds = [
    'ranged',
    'chassis_targets',
    'needed_offsets',
    'present_corners',
    'sensitivities',
    ...classShareNeeds,
];

/**
 * What offset range the field needs and what share each kit reaches: per chassis, target and kit the best over all bolt positions
 * first, then each position and hand; and what a reader must know as sentences. Throws a {@link UserError} on an unknown name.
 */
export async function range(
    db: Database,
    question: RangeQuestion = {},
): Promise<{ rows: RangeRow[]; notes: string[] }> {
    const [loaded] = await db.cells(
        'select (select count(*) from readings) as readings, (select count(*) from targets) as targets',
    );
    if (loaded!.readings === 0) throw new UserError(noReadings(), 'no_readings');
    if (loaded!.targets === 0) throw new UserError(noTargets(), 'not_in_data');
    if (question.chassis !== undefined) await requireName(db, 'readings', 'chassis', question.chassis);
    if (question.kit !== undefined) await requireName(db, 'kits', 'kit', question.kit);
    if (question.target !== undefined) await requireName(db, 'targets', 'target', question.target);
    const rows = await db.rows(
        rangeRow,
        `select ${Object.keys(rangeRow.shape).join(', ')}
        from ranged($chassis::varchar, $kit::varchar, $target::varchar)
        order by chassis, target, kit, plate_index nulls first, plate_hand desc`,
        {
            chassis: question.chassis ?? null,
            kit: question.kit ?? null,
            target: question.target ?? null,
        },
    );
    const ofClass = question.class === undefined ? [] : await classShares(db, question.class, question);
    return { rows, notes: [...ofClass, ...(await rangeNotes(db, rows, question))] };
}
