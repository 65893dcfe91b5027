import { type Link, setBy } from './chain.js';
import type { Chassis } from './chassis.js';
import {
    type Entry,
    isRear,
    isSamePlate,
    isSession,
    isTouched,
    pointerChange,
    pointerVariance,
    type StateRow,
} from './states.js';

/** Probabilities that a corner moves over a session, from one visit to the next though nothing moved before, and while it is set (common practice, no source). */
export const odds = { session: 0.2, gap: 0.03, set: 0.05 };

export function linkBetween(
    earlier: StateRow,
    later: StateRow,
    chassis: Chassis | undefined,
    tanCaster: number,
    ran: boolean,
    changed: string | null,
): Link {
    const isFront = !isRear(later);
    const touched = isTouched(earlier, later);
    const change = isFront && touched ? pointerChange(earlier, later) : null;
    const isKnown =
        isSamePlate(earlier, later) || (touched && earlier.kit === later.kit && later.offset_out_mm !== null);
    return {
        odds: ran
            ? odds.session
            : change !== null
              ? odds.set
              : earlier.visit === later.visit
                ? odds.set
                : odds.gap,
        broken:
            earlier.kit !== later.kit && isFront
                ? 'another mount after the session'
                : earlier.chassis !== later.chassis || (isFront && !isKnown)
                  ? 'the plate was turned or changed between the readings'
                  : changed,
        // Between visits toe is set last where the bearing was set.
        toeReset: earlier.visit === later.visit ? later.toe_reset === true : change !== null,
        set:
            change === null || chassis === undefined
                ? null
                : setBy(chassis, ...change, pointerVariance(earlier, later), tanCaster),
    };
}

/** What lies between two states: a session, nothing that ran or was set, or what was set by the pointers in an install or adjust visit. */
export type Disturbance = 'session' | 'transport' | 'adjustment';

/** A disturbance of a corner: between which of its states, and what runs it holds. */
export interface Run {
    disturbance: Disturbance;
    visit: string;
    /** Of the later state; null where the visit encloses its session, whichever phases it read. */
    phase: string | null;
    earlier: Entry | undefined;
    later: Entry | undefined;
    /** Place of the earlier state, where the later one follows it; null where others lie between, as of visits that overlap. */
    link: number | null;
    sessions: readonly string[];
    /** Why it is not judged here. */
    missing: string | null;
}

/** What lies between two states over which nothing ran; null where they have nothing to compare. */
export function restBetween(earlier: StateRow, later: StateRow, { broken, set }: Link): Disturbance | null {
    if (broken !== null) return null;
    if (set !== null) return 'adjustment';
    if (earlier.visit !== later.visit || !isTouched(earlier, later)) return 'transport';
    // Without offsets nobody knows what was set on purpose.
    return isRear(later) || (earlier.offset_out_mm !== null && later.offset_out_mm !== null)
        ? 'adjustment'
        : null;
}

/** Runs by the place of the state before which they were. */
export type Ran = ReadonlyMap<number, readonly string[]>;

export function runsOf(entries: readonly Entry[], ran: Ran): Run[] {
    const runs: Run[] = [];
    const visits = new Map<string, { before?: number; after?: number; named: string }>();
    for (const [i, { row }] of entries.entries()) {
        if (!isSession(row)) continue;
        const visit = row.visit;
        const own = visits.get(visit) ?? { named: row.session ?? visit };
        visits.set(visit, own);
        if (row.phase === 'before') own.before ??= i;
        if (row.phase === 'after') own.after ??= i;
    }
    for (const [visit, { before, after, named }] of visits) {
        const first = before ?? (after !== undefined && after > 0 ? after - 1 : undefined);
        const last = after ?? (before !== undefined && before + 1 < entries.length ? before + 1 : undefined);
        const [earlier, later] = [first, last].map((i) => (i === undefined ? undefined : entries[i]));
        const [previous, next] = [earlier?.row, later?.row];
        const link = first !== undefined && last === first + 1 ? first : null;
        // A visit before that was not read after its session, and this one, which was not read before: one verdict for both.
        const shared =
            before === undefined &&
            previous !== undefined &&
            isSession(previous) &&
            previous.phase === 'before';
        const isLeft = after === undefined && next !== undefined && isSession(next) && next.phase === 'after';
        runs.push({
            disturbance: 'session',
            visit,
            phase: null,
            earlier,
            later,
            link,
            sessions: [
                ...(shared ? [previous.session ?? previous.visit] : []),
                ...(link === null ? [] : (ran.get(link + 1) ?? [])),
                named,
            ],
            missing:
                earlier === undefined
                    ? 'no reading before the session'
                    : later === undefined
                      ? 'no reading after the session'
                      : isLeft
                        ? `no reading between this session and ${next.session ?? next.visit}: judged with it`
                        : null,
        });
    }
    for (const [place, names] of ran) {
        const [earlier, later] = [entries[place - 1], entries[place]];
        if (earlier === undefined || later === undefined) continue;
        if (runs.some(({ link }) => link === place - 1) || isSession(later.row)) continue;
        runs.push(between(earlier, later, 'session', names));
    }
    return runs;
}

/** What lies between two states that follow each other, where no session visit encloses it. */
export const between = (
    earlier: Entry,
    later: Entry,
    disturbance: Disturbance,
    sessions: readonly string[],
): Run => ({
    disturbance,
    visit: later.row.visit,
    phase: later.row.phase,
    earlier,
    later,
    link: earlier.place,
    sessions,
    missing: null,
});
