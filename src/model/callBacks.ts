import { type CallBackRow, callBackRow } from '../contracts/results/audit.js';
import type { Database } from '../db/database.js';
import { counted } from '../errors/words.js';

/** What has to be there before it can be asked. */
export const callBackNeeds = ['cars_to_call'];

/** Whom to call back and why, oldest visit first, all of them; and sentences. `guard`, `comeBackDays`: as in `audit`. */
export async function callBacks(
    db: Database,
    { guard, comeBackDays }: { guard: number; comeBackDays: number },
): Promise<{ rows: CallBackRow[]; notes: string[] }> {
    const rows = await db.rows(
        callBackRow,
        `select ${Object.keys(callBackRow.shape).join(', ')} from cars_to_call($guard::double, $days::integer)
        order by day nulls last, vehicle`,
        { guard, days: comeBackDays },
    );
    const [held] =
        rows.length > 0
            ? []
            : await db.cells('select count(*) as judged from target_settings where not_judged is null');
    const sure = rows.filter(({ verdict }) => verdict === 'outside').length;
    const notes =
        held?.judged === 0
            ? [
                  'No install or adjust visit has an after reading that can be judged, so whom to call back cannot be told.',
              ]
            : rows.length === 0
              ? [
                    'No car has to be called back: no newest setting is outside for sure, or missed with under an even chance of being inside.',
                ]
              : [
                    `${counted(rows.length, 'car')} to call back, oldest first: ${sure} outside for sure, ${rows.length - sure} missed with under an even chance of being inside.`,
                    'Each car with the angle that is furthest off in the newest visit that set it to a target; "more" counts its other angles that are off.',
                ];
    return { rows, notes };
}
