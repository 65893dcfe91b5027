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

/** A session visit of a corner, with the places of its states. */
export interface SessionVisit {
    visit: string;
    /** The session, or the visit where it has no name. */
    named: string;
    before: number | undefined;
    after: number | undefined;
}

/** The session visit of each state, null where it is of none: one object for what is one visit. */
export function visitsOf(rows: readonly StateRow[]): (SessionVisit | null)[] {
    const found: (SessionVisit | null)[] = [];
    for (let i = 0; i < rows.length; i++) {
        const row = rows[i]!;
        let own: SessionVisit | null = null;
        if (isSession(row)) {
            own = found.findLast((other) => other?.visit === row.visit) ?? {
                visit: row.visit,
                named: row.session ?? row.visit,
                before: undefined,
                after: undefined,
            };
            if (row.phase === 'before') own.before ??= i;
            if (row.phase === 'after') own.after ??= i;
        }
        found.push(own);
    }
    return found;
}

/** The run that a visit encloses. */
function runOf({ visit, named, before, after }: SessionVisit, entries: readonly Entry[], ran: Ran): Run {
    const first = before ?? (after !== undefined && after > 0 ? after - 1 : undefined);
    const last = after ?? (before !== undefined && before + 1 < entries.length ? before + 1 : undefined);
    const earlier = first === undefined ? undefined : entries[first];
    const later = last === undefined ? undefined : entries[last];
    const previous = earlier?.row;
    const next = later?.row;
    const link = first !== undefined && last === first + 1 ? first : null;
    const sessions = link === null ? [named] : [...(ran.get(link + 1) ?? []), named];
    // A visit before that was not read after its session, and this one, which was not read before: one verdict for both.
    if (before === undefined && previous !== undefined && isSession(previous) && previous.phase === 'before')
        sessions.unshift(previous.session ?? previous.visit);
    const isLeft = after === undefined && next !== undefined && isSession(next) && next.phase === 'after';
    const missing =
        earlier === undefined
            ? 'no reading before the session'
            : later === undefined
              ? 'no reading after the session'
              : isLeft
                ? `no reading between this session and ${next.session ?? next.visit}: judged with it`
                : null;
    return { disturbance: 'session', visit, phase: null, earlier, later, link, sessions, missing };
}

/** The runs of a corner: those that session visits enclose, and those between other states. */
export function runsOf(entries: readonly Entry[], visits: readonly (SessionVisit | null)[], ran: Ran): Run[] {
    const runs: Run[] = [];
    for (const own of new Set(visits)) if (own !== null) runs.push(runOf(own, entries, ran));
    for (const [place, names] of ran) {
        const earlier = entries[place - 1];
        const later = entries[place];
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
