import { z } from 'zod';
import type { DriftRow } from '../contracts/results/drift.js';
import type { Database } from '../db/database.js';
import { noSessions } from '../errors/messages.js';

const odds = z.object({ prior: z.number(), share: z.number(), session_count: z.number() });
const rates = z.object({ named_count: z.int(), wrong: z.number(), rate: z.number() });
const noise = z.object({ gauges: z.string() });

const percent = (share: number) => `${(100 * share).toFixed(share < 0.1 ? 1 : 0)} %`;

/** What a reader of `drift` must know, as sentences. */
export async function driftNotes(
    db: Database,
    rows: readonly DriftRow[],
    { vehicle, since }: { vehicle?: string | undefined; since?: string | undefined },
): Promise<string[]> {
    if (rows.length === 0) return [noSessions(vehicle ?? null, since ?? null)];
    const of = (verdict: string) => rows.filter((row) => row.verdict === verdict).length;
    const notes = [
        `${rows.length} front corners over sessions: ${of('held')} held, ${of('plate_moved')} with the plate moved, ${of('bent')} bent, ${of('other')} other, ${of('unclear')} unclear.`,
    ];
    const [named] = await db.rows(
        rates,
        `select
            count(drift.vehicle) as named_count,
            coalesce(sum(p_wrong order by vehicle, visit, corner), 0) as wrong,
            any_value(false_discovery_rate) as rate
        from drift_rules
        left join drift on verdict in ('plate_moved', 'bent', 'other')`,
    );
    if (named !== undefined && named.named_count > 0) {
        notes.push(
            `Among the ${named.named_count} causes named in all sessions, ${named.wrong.toFixed(1)} are expected to be wrong (false-discovery rate, kept within ${percent(named.rate)}).`,
        );
    }
    const [slips] = await db.rows(
        odds,
        `select sum(prior_share order by size) as prior, sum(share order by size) as share, any_value(session_count) as session_count
        from drift_odds where cause = 'plate_slipped'`,
    );
    notes.push(
        `Odds that a plate slips over a session: ${percent(slips!.prior)} before the data, ${percent(slips!.share)} after ${slips!.session_count} corner sessions.`,
    );
    const guessed = await db.rows(
        noise,
        `select string_agg(distinct coalesce(gauge, 'readings without a gauge'), ', ' order by coalesce(gauge, 'readings without a gauge')) as gauges
        from reading_noise
        where source = 'prior' and response = 'camber_deg' and (
            gauge in (select before_gauge from session_changes union select after_gauge from session_changes)
            or (gauge is null and exists (select 1 from session_changes where before_gauge is null))
        )
        having count(*) > 0`,
    );
    for (const { gauges } of guessed) {
        notes.push(
            `The noise of ${gauges} is what is usual, not measured: read some states twice (repeat 1, 2) to know it.`,
        );
    }
    const untold = rows.filter((row) => row.reason !== null);
    if (untold.length > 0) {
        const example = untold[0]!;
        notes.push(
            `${untold.length} corners cannot be compared (first: ${example.vehicle} ${example.corner}, ${example.visit}: ${example.reason}).`,
        );
    }
    return notes;
}
