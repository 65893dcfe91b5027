import { z } from 'zod';
import type { AuditRow } from '../contracts/results/audit.js';
import type { Database } from '../db/database.js';
import { programName } from '../errors/programName.js';
import { counted } from '../errors/words.js';
import { percent } from '../units/percent.js';
import { plain } from '../units/plain.js';
import type { AuditQuestion } from './auditQuestion.js';

const angle = (response: string) => response.replace('_deg', '').replace('_', ' ');

function overall(rows: readonly AuditRow[]): string[] {
    const whole = rows.find((row) => row.split_by === 'overall' && row.response === 'all');
    if (whole === undefined) return [];
    const notes = [
        `${whole.hit_count} of ${counted(whole.count, 'visit')} hit every angle of the target as read: ${percent(whole.hit_share!)} (95 % interval ${percent(whole.conf_low!)} to ${percent(whole.conf_high!)}).`,
    ];
    if (whole.first_count! > 0)
        notes.push(
            `Right first time, without coming back: ${whole.first_hit_count} of ${whole.first_count} visits that have had their time.`,
        );
    return notes;
}

/** Hits at the first setting by group, the highest share first. */
function firstTime(rows: readonly AuditRow[], { by }: AuditQuestion): string[] {
    const share = (row: AuditRow) => row.first_hit_count! / row.first_count!;
    const told = rows
        .filter((row) => row.split_by !== 'overall' && row.first_count !== null && row.first_count > 0)
        .sort((a, b) => share(b) - share(a))
        .slice(0, 12)
        .map((row) => `${row.group} ${percent(share(row))} (${row.first_hit_count} of ${row.first_count})`);
    return told.length === 0
        ? []
        : [`Right first time, without coming back, by ${by.join(' and ')}: ${told.join(', ')}.`];
}

function comeBacks(rows: readonly AuditRow[], { comeBackDays }: AuditQuestion): string[] {
    const whole = rows.find((row) => row.split_by === 'overall' && row.response === 'all');
    if (whole === undefined || whole.come_back_count === 0) return [];
    const unread = whole.come_back_count! - whole.come_back_moved_count! - whole.come_back_unmoved_count!;
    return [
        `Within ${counted(comeBackDays, 'day')} a car came back ${counted(whole.come_back_count!, 'time')}: in ${whole.come_back_moved_count} the readings had moved by more than noise, in ${whole.come_back_unmoved_count} they had not${unread === 0 ? '' : `, in ${unread} nobody read them on arrival`}.`,
    ];
}

function decision(rows: readonly AuditRow[], { guard }: AuditQuestion): string[] {
    const single = rows.filter((row) => row.split_by === 'overall' && row.response !== 'all');
    const undecided = single.reduce((sum, row) => sum + row.undecided_count, 0);
    const notes =
        guard === 0
            ? ['Inside and outside are decided as read, without a guard band.']
            : [
                  `Inside and outside are decided with a guard band of ${plain(guard, 3)} standard uncertainties of the true angle (repeats, set-up and bias of who read); ${counted(undecided, 'setting lies', 'settings lie')} too near to a limit to tell.`,
              ];
    for (const row of single.filter((one) => one.in_count === 0 && one.hit_count > 0)) {
        notes.push(
            `${angle(row.response)}: the tolerance is no wider than the guard band, so nothing can be called inside. More readings of one mounting shrink the repeat part only; re-mounting, a known reference or a better gauge help.`,
        );
    }
    return notes;
}

function hardware(rows: readonly AuditRow[]): string[] {
    const without = rows.some((row) => row.shrunk_share !== null)
        ? 'spread, Cp, Cpk and shrunken shares'
        : 'spread, Cp and Cpk';
    return rows
        .filter((row) => row.split_by === 'overall' && row.response !== 'all' && row.end_of_scale_count > 0)
        .map(
            (row) =>
                `${angle(row.response)}: of ${counted(row.count - row.hit_count, 'miss', 'misses')} ${row.end_of_scale_count} at the end of a scale, where the hardware ran out of travel; ${without} leave them out.`,
        );
}

function farOff(rows: readonly AuditRow[]): string[] {
    const single = rows.filter((row) => row.split_by === 'overall' && row.response !== 'all');
    const count = single.reduce((sum, row) => sum + row.far_off_count, 0);
    if (count === 0) return [];
    return [
        `${counted(count, 'setting misses', 'settings miss')} by more than 5 tolerances with no scale end to blame, as mistakes of writing do: counted as misses, but not in spread, Cp and Cpk. ${programName()} check says what may be wrong.`,
    ];
}

function edges(rows: readonly AuditRow[]): string[] {
    return rows.flatMap((row) => {
        const where = row.split_by === 'overall' ? '' : `${row.group}, `;
        const notes: string[] = [];
        if (row.p_edge_by_chance !== null && row.p_edge_by_chance < 0.01)
            notes.push(
                `${where}${angle(row.response)}: ${row.edge_count} settings end in the outer quarter of the tolerance, ${row.before_edge_count} in the quarter before it; that looks like stopping as soon as the band is reached (by chance: ${row.p_edge_by_chance.toPrecision(1)}).`,
            );
        if (row.p_short_by_chance !== null && row.p_short_by_chance < 0.01)
            notes.push(
                `${where}${angle(row.response)}: ${row.came_count} settings stop ${row.short_share!.toFixed(2)} tolerances short on average, on the side from which they came (95 % interval ${row.short_conf_low!.toFixed(2)} to ${row.short_conf_high!.toFixed(2)}).`,
            );
        return notes;
    });
}

function order(rows: readonly AuditRow[], { by }: AuditQuestion): string[] {
    const groups = rows.filter((row) => row.split_by !== 'overall' && row.response === 'all');
    if (groups.length < 2) return [];
    const open = groups.filter((row) => row.rank_low !== row.rank_high);
    if (open.length === 0) return [];
    const names = open.slice(0, 8).map((row) => row.group);
    const any = groups.every((row) => row.rank_low === 1 && row.rank_high === groups.length);
    return [
        any
            ? `The order by ${by.join(' and ')} is not supported by the data: with these counts any place in visits could be another.`
            : `The order by ${by.join(' and ')} is not certain for ${names.join(', ')}${open.length > 8 ? ', ...' : ''}: the column place says which places in visits are possible with these counts.`,
    ];
}

function months(rows: readonly AuditRow[]): string[] {
    return rows
        .filter((row) => row.split_by === 'month' && row.response === 'all')
        .filter((row) => 1 - row.hit_share! > row.chart_high! || 1 - row.hit_share! < row.chart_low!)
        .map(
            (row) =>
                `${row.group}: ${row.count - row.hit_count} of ${row.count} visits missed, beyond the limits of the p chart (${percent(row.chart_low!)} to ${percent(row.chart_high!)}).`,
        );
}

const noted = z.object({
    subject: z.string(),
    found: z.string(),
    found_count: z.int(),
    example: z.string().nullable(),
});

type Noted = z.infer<typeof noted>;

function notedOf(db: Database): Promise<Noted[]> {
    return db.rows(
        noted,
        `select
            subject,
            found,
            cast(sum(found_count) as bigint) as found_count,
            arg_min(first_file || ' line ' || first_line, (first_file, first_line)) as example
        from audit_notes
        group by subject, found
        order by subject, found_count desc, found`,
    );
}

/** Settings that took no part, by reason. */
function leftOut(found: readonly Noted[]): string[] {
    return found
        .filter(({ subject }) => subject === 'not judged')
        .map(
            (row) =>
                `Not judged: ${counted(row.found_count, 'setting')}, because ${row.found} (first: ${row.example}).`,
        );
}

/** Missed corners that the hands alone could not have met. */
function clockings(found: readonly Noted[]): string[] {
    const count = (name: string) =>
        found.find((row) => row.subject === 'reach' && row.found === name)?.found_count ?? 0;
    const [here, other, none] = [count('as clocked'), count('another index'), count('no index')];
    if (other + none === 0) return [];
    return [
        `Of ${counted(here + other + none, 'corner')} that missed camber or caster, ${here} could have met both as clocked, ${other} in another index or hand of the kit, ${none} in none.`,
    ];
}

function toeNotes(found: readonly Noted[]): string[] {
    const of = (state: string) => found.filter((row) => row.subject === 'toe' && row.found === state);
    return [
        ...of('not set again').map(
            (row) =>
                `Toe was not set again after the bearing moved at ${counted(row.found_count, 'corner')} (first: ${row.example}).`,
        ),
        ...of('as if not set again').map(
            (row) =>
                `Toe stands where an untouched tie rod leaves it, out of tolerance, at ${counted(row.found_count, 'corner')}: as if it was not set again (first: ${row.example}).`,
        ),
    ];
}

/** What a reader of the audit must know, as sentences, most general first. */
export async function auditNotes(
    db: Database,
    rows: readonly AuditRow[],
    question: AuditQuestion,
): Promise<string[]> {
    const found = await notedOf(db);
    if (rows.length === 0)
        return ['No install or adjust visit has an after reading that can be judged.', ...leftOut(found)];
    return [
        ...firstTime(rows, question),
        ...overall(rows),
        ...clockings(found),
        ...decision(rows, question),
        ...hardware(rows),
        ...farOff(rows),
        ...comeBacks(rows, question),
        ...toeNotes(found),
        ...edges(rows),
        ...months(rows),
        ...order(rows, question),
        "The readings left behind are the technician's own, so a share here is of what was written down; left and right of one car are counted apart except for whole visits, and the intervals allow for what the settings of one car have in common.",
        ...leftOut(found),
    ];
}
