import { z } from 'zod';
import type { Database } from '../db/database.js';
import { noSessions } from '../errors/messages.js';
import { counted } from '../errors/words.js';
import { cornerName } from '../units/cornerName.js';
import { percent } from '../units/percent.js';
import { signed } from '../units/signed.js';
import { heightNotes } from './heightNotes.js';

const odds = z.object({ prior: z.number(), share: z.number(), session_count: z.number() });
const rates = z.object({ named_count: z.int(), wrong: z.number(), rate: z.number() });
const noise = z.object({ gauges: z.string() });
const counts = z.object({
    session_count: z.int(),
    held: z.int(),
    plate_moved: z.int(),
    bent: z.int(),
    other: z.int(),
    unclear: z.int(),
    untold_count: z.int(),
    example: z
        .object({ vehicle: z.string(), corner: z.string(), visit: z.string(), reason: z.string() })
        .nullable(),
});

/** The rows of `drift` that are asked for. */
export const askedDrift = `($vehicle::varchar is null or vehicle = $vehicle)
            and ($since::timestamp is null or measured_ts >= $since::timestamp)`;

const classes = [
    ['plate_moved', 'slips of a bearing or mount'],
    ['bent', 'bent'],
    ['other', 'other than that (gauge, floor, tie rod, arm, cradle)'],
] as const;

const newest = z.object({
    verdict: z.string(),
    named_count: z.int(),
    vehicle: z.string(),
    corner: z.string(),
    visit: z.string(),
    included_deg: z.number().nullable(),
});

/** Of each class that moved, how many and the newest. */
async function newestNote(
    db: Database,
    asked: { vehicle: string | null; since: string | null },
): Promise<string[]> {
    const rows = await db.rows(
        newest,
        `select verdict, named_count, unnest(last)
        from (
            select verdict, count(*) as named_count,
                arg_max(
                    {
                        'vehicle': vehicle, 'corner': corner, 'visit': visit,
                        'included_deg': camber_judged_deg + sai_judged_deg
                    },
                    (ordered_ts, vehicle, corner)
                ) as last
            from drift
            where ${askedDrift} and verdict in ('plate_moved', 'bent', 'other')
            group by verdict
        )`,
        asked,
    );
    const told = classes.flatMap(([verdict, words]) =>
        rows
            .filter((row) => row.verdict === verdict)
            .map((row) => {
                const included =
                    verdict === 'bent' && row.included_deg !== null
                        ? `: the included angle changed by ${signed(row.included_deg, 2)} deg`
                        : '';
                const what = row.named_count === 1 ? words.replace(/^slips/, 'slip') : words;
                return `${row.named_count} ${what} (newest: ${row.vehicle} ${row.corner}, ${row.visit}${included})`;
            }),
    );
    return told.length === 0 ? [] : [`What moved: ${told.join('; ')}.`];
}

const trend = z.object({
    corner: z.string(),
    response: z.string(),
    pattern: z.string(),
    creep: z.number(),
    step: z.number(),
    visit: z.string().nullable(),
});

/** Whether the settings of one car crept or stepped over its sessions. */
async function trendNote(db: Database, vehicle: string): Promise<string[]> {
    const rows = await db.rows(
        trend,
        `select corner, response, pattern, creep_deg_per_session as creep, step_deg as step, step_visit as visit
        from setting_trends where vehicle = $vehicle order by corner, response, kit`,
        { vehicle },
    );
    const told = rows.flatMap(({ corner, response, pattern, creep, step, visit }) => {
        const what = `${cornerName(corner)} ${response.replace('_deg', '')}`;
        if (pattern === 'creep') return [`${what} creeps by ${signed(creep, 3)} deg a session`];
        return pattern === 'step' ? [`${what} stepped by ${signed(step, 2)} deg before ${visit}`] : [];
    });
    if (rows.length === 0) return [];
    return told.length === 0
        ? [`Creep or step: over all its sessions no setting of ${vehicle} does either for good.`]
        : [`Creep or step, over all sessions: ${told.join(', ')}; no other setting does either for good.`];
}

/** What a reader of `drift` must know, as sentences. */
export async function driftNotes(
    db: Database,
    { vehicle, since }: { vehicle?: string | undefined; since?: string | undefined },
): Promise<string[]> {
    const verdicts = ['held', 'plate_moved', 'bent', 'other', 'unclear'];
    const [count] = await db.rows(
        counts,
        `select
            count(*) as session_count,
            ${verdicts.map((verdict) => `count(*) filter (where verdict = '${verdict}') as ${verdict},`).join('\n')}
            count(reason) as untold_count,
            arg_min(
                {'vehicle': vehicle, 'corner': corner, 'visit': visit, 'reason': reason},
                {'ts': measured_ts, 'vehicle': vehicle, 'visit': visit, 'corner': corner}
            ) filter (where reason is not null) as example
        from drift
        where ${askedDrift}`,
        { vehicle: vehicle ?? null, since: since ?? null },
    );
    const { session_count, held, plate_moved, bent, other, unclear, untold_count, example } = count!;
    if (session_count === 0) return [noSessions(vehicle ?? null, since ?? null)];
    const notes = [
        `${session_count} front corners over sessions: ${held} held, ${plate_moved} with the plate moved, ${bent} bent, ${other} other, ${unclear} unclear.`,
    ];
    notes.push(...(await newestNote(db, { vehicle: vehicle ?? null, since: since ?? null })));
    if (vehicle !== undefined) notes.push(...(await trendNote(db, vehicle)));
    const [named] = await db.rows(
        rates,
        `select count(p_wrong) as named_count, coalesce(sum(p_wrong order by p_wrong), 0) as wrong, false_discovery_rate as rate
        from drift_rules
        left join (select p_wrong from drift where verdict in ('plate_moved', 'bent', 'other')) on true
        group by all`,
    );
    if (named !== undefined && named.named_count > 0) {
        notes.push(
            `Of ${counted(named.named_count, 'cause')} named in all sessions, ${named.wrong.toFixed(1)} are expected to be wrong (false-discovery rate, kept within ${percent(named.rate, named.rate < 0.1 ? 1 : 0)}).`,
        );
    }
    const [slips] = await db.rows(
        odds,
        `select sum(prior_share order by size) as prior, sum(share order by size) as share, any_value(session_count) as session_count
        from drift_odds where cause = 'plate_slipped'`,
    );
    notes.push(
        `Odds that a plate slips over a session: ${percent(slips!.prior, slips!.prior < 0.1 ? 1 : 0)} before the data, ${percent(slips!.share, slips!.share < 0.1 ? 1 : 0)} after ${slips!.session_count} corner sessions.`,
    );
    const guessed = await db.rows(
        noise,
        `select string_agg(distinct coalesce(gauge, 'readings without a gauge'), ', ' order by coalesce(gauge, 'readings without a gauge')) as gauges
        from reading_noise
        where source = 'prior' and response = 'camber_deg' and (
            gauge in (select before_gauge from session_pairs union select after_gauge from session_pairs)
            or (gauge is null and exists (select 1 from session_pairs where before_gauge is null))
        )
        having count(*) > 0`,
    );
    for (const { gauges } of guessed) {
        notes.push(
            `The noise of ${gauges} is what is usual, not measured: read some states twice (repeat 1, 2) to know it.`,
        );
    }
    notes.push(...(await heightNotes(db, vehicle ?? null)));
    if (example !== null) {
        notes.push(
            `${untold_count} corners cannot be compared (first: ${example.vehicle} ${example.corner}, ${example.visit}: ${example.reason}).`,
        );
    }
    return notes;
}
