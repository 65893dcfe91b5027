import { z } from 'zod';
import { type ReturnRow, returnRow } from '../contracts/results/returns.js';
import type { Database } from '../db/database.js';
import { counted } from '../errors/words.js';
import { groupedBy } from '../stats/groupedBy.js';
import { returnSpread } from '../stats/measurement/returnSpread.js';
import { HALF_WIDTH } from '../stats/settings/problem.js';
import { plain } from '../units/plain.js';
import { requireName } from './names.js';
import { pointerNotes } from './pointerNotes.js';

/** What has to be there before it can be asked. */
export const returnsNeeds = ['returned_settings', 'pointer_errors', 'plates'];

const settingRow = z.object({
    returned: z.int(),
    vehicle: z.string(),
    corner: z.string(),
    kit: z.string(),
    bearing: z.string().nullable(),
    plate_index: z.int(),
    mark_1: z.number(),
    mark_2: z.number().nullable(),
    response: returnRow.shape.response,
    deg: z.number(),
    var_deg2: z.number(),
});

type SettingRow = z.infer<typeof settingRow>;

/** Fewer returns than this tell next to nothing of their spread: the interval reaches from 0 to over 3 times the estimate. */
const FEWEST = 4;

function rowOf(settings: readonly SettingRow[], ofMark: boolean): ReturnRow {
    const [first] = settings as [SettingRow];
    const groups = groupedBy(settings, ({ returned }) => returned);
    const spread = returnSpread(groups)!;
    const told = spread.df >= FEWEST ? spread : null;
    const mean = settings.reduce((sum, { var_deg2 }) => sum + var_deg2, 0) / settings.length;
    return {
        kit: first.kit,
        bearing: first.bearing,
        plate_index: ofMark ? first.plate_index : null,
        mark_1: ofMark ? first.mark_1 : null,
        mark_2: ofMark ? first.mark_2 : null,
        response: first.response,
        spread_deg: told?.sd_deg ?? null,
        spread_low_deg: told?.low_deg ?? null,
        spread_high_deg: told?.high_deg ?? null,
        reading_deg: Math.sqrt(mean),
        return_count: spread.df,
        setting_count: settings.length,
        corner_count: new Set(settings.map(({ vehicle, corner }) => `${vehicle} ${corner}`)).size,
        reason: told === null ? `fewer than ${FEWEST} returns` : null,
    };
}

const places = ({ plate_index, mark_1, mark_2 }: SettingRow) => `${plate_index} ${mark_1} ${mark_2}`;

/** How well kits come back to their marks: per kit and angle over all marks, then per bolt position and marks; `kit`, `mark`: only these. */
export async function returnRows(
    db: Database,
    { kit, mark }: { kit?: string | undefined; mark?: number | undefined } = {},
): Promise<ReturnRow[]> {
    const rows = await db.rows(
        settingRow,
        `select came.*, bearing
        from returned_settings($kit::varchar) as came
        left join (select kit, min(bearing) as bearing from kits group by kit) as kinds using (kit)
        order by kit, response, plate_index, mark_1, mark_2, vehicle, corner, returned, deg`,
        { kit: kit ?? null },
    );
    const asked = rows.filter((row) => mark === undefined || row.mark_1 === mark);
    return groupedBy(asked, (row) => `${row.kit} ${row.response}`).flatMap((ofKit) => [
        rowOf(ofKit, false),
        ...groupedBy(ofKit, places).map((ofMark) => rowOf(ofMark, true)),
    ]);
}

/** `0.03 deg of camber (0.00 to 0.06)`. */
function spreadWords(row: ReturnRow): string {
    const angle = row.response.replace('_deg', '');
    if (row.spread_deg === null) return `${angle} not told by ${counted(row.return_count, 'return')}`;
    if (row.spread_high_deg! < 0.005) return `none of ${angle} that can be told`;
    return `${row.spread_deg.toFixed(2)} deg of ${angle} (${row.spread_low_deg!.toFixed(2)} to ${row.spread_high_deg!.toFixed(2)})`;
}

/** How far 95 of 100 returns may miss, by the upper end of the interval. */
export function farthestMiss({ spread_high_deg }: ReturnRow): number | null {
    return spread_high_deg === null ? null : HALF_WIDTH * spread_high_deg;
}

/** What `advise --back-to` and `gauges --returns` say of one kit; `rows`: its rows over all marks. */
export function returnWords(rows: readonly ReturnRow[]): string {
    const [first] = rows as [ReturnRow];
    const from = `${counted(first.return_count, 'return')} of ${counted(first.corner_count, 'corner')}`;
    if (rows.every(({ spread_deg }) => spread_deg === null)) {
        return `How well ${first.kit} comes back to a mark cannot be told from ${from}`;
    }
    return `${first.kit} comes back to a mark with a standard deviation of ${rows.map(spreadWords).join(' and ')} beyond what the readings scatter: ${from}, 95 % intervals`;
}

/** How well the marks are repeated, with what a reader must know as sentences. */
export async function returns(
    db: Database,
    question: { kit?: string | undefined; mark?: number | undefined },
): Promise<{ rows: ReturnRow[]; notes: string[] }> {
    if (question.kit !== undefined) await requireName(db, 'kits', 'kit', question.kit);
    const rows = await returnRows(db, question);
    const over = rows.filter(({ plate_index }) => plate_index === null);
    const at = question.mark === undefined ? '' : `Mark ${plain(question.mark, 2)}: `;
    if (rows.length === 0) {
        return {
            rows,
            notes: [
                `${at}${at === '' ? 'No' : 'no'} corner came back to marks that it had left, with marks and angles written down both times, so nothing tells how well they are repeated.`,
            ],
        };
    }
    const kits = [...new Set(over.map(({ kit }) => kit))];
    return {
        rows,
        notes: [
            ...groupedBy(over, ({ kit }) => kit).map((ofKit) => {
                const camber = ofKit.find(({ response }) => response === 'camber_deg');
                const miss = camber === undefined ? null : farthestMiss(camber);
                const within =
                    miss === null
                        ? ''
                        : `. 95 of 100 come back within ${miss.toFixed(2)} deg of camber at worst`;
                return `${at}${returnWords(ofKit)}${within}.`;
            }),
            'A return is a setting at marks that the corner had been taken away from, with nothing changed or bent in between as far as is known. What scatters beyond the readings is pointer, plate and bearing.',
            ...(await pointerNotes(db, kits)),
        ],
    };
}
