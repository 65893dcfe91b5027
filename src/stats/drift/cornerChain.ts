import {
    type AsSet,
    asSet,
    type Belief,
    beliefAfter,
    carried,
    type Judged,
    judge,
    type Known,
    type Link,
    leaving,
    logPutRight,
    Meeting,
    type Plate,
    places,
    pooled,
    sure,
    unknown,
    unread,
} from './chain.js';
import type { AfterSet } from './corner.js';
import { type Fleet, plateOf, tanCasterOf } from './fleet.js';
import type { Readers } from './readers.js';
import { between, linkBetween, odds, type Ran, type Run, restBetween, runsOf, visitsOf } from './runs.js';
import { type Entry, isRear, isSamePlate, type StateRow, stateOf } from './states.js';

/** States before a setting of which it is asked. */
const MOST_WEIGHED = 12;

const silent: AfterSet = { last: null, undone: 1, remains: 1, putRight: 0 };

function withoutToe({ values, variances: all }: Known): Known {
    const variances = all.slice();
    variances[places.toe] = unread;
    return { values, variances };
}

/** Sum of squares of the changes over their standard errors, at the most of these angles: toe is left out. */
function squaresOf(earlier: Known, later: Known): number {
    const square = (place: number) => {
        const gap = later.values[place]! - earlier.values[place]!;
        return (gap * gap) / (earlier.variances[place]! + later.variances[place]!);
    };
    return (
        Math.max(square(places.camber), square(places.equalToe)) + square(places.caster) + square(places.sai)
    );
}

/** What moved over a session that another reading follows: its probability, and ln of how much likelier that reading is where it was put right. */
export interface Moved {
    moved: number;
    log: number;
}

/** The states of a corner in time order, with what lies between them, and its runs. */
export class CornerChain {
    readonly entries: readonly Entry[];
    readonly runs: readonly Run[];
    readonly links: readonly Link[];
    readonly plates: readonly (Plate | null)[];
    readonly tan: number | null;
    readonly #readers: Readers;
    readonly #runLinks: ReadonlySet<number | null>;
    /** Share of what moves over a run that is put right without a record. */
    #share = 0;
    /** What is known before each state, itself included, and after it. */
    #forward: Belief[] = [];
    #backward: Belief[] = [];
    #asSet: readonly AsSet[] = [];
    readonly #afterSets: AfterSet[] = [];
    #rests: readonly Run[] | undefined;
    readonly #moved: number[] = [];

    constructor(rows: readonly StateRow[], ran: Ran, changed: ReadonlyMap<number, string>, fleet: Fleet) {
        this.#readers = fleet.readers;
        this.tan = tanCasterOf(rows, fleet);
        const visits = visitsOf(rows);
        this.entries = rows.map((row, place): Entry => {
            const own = visits[place]!;
            const isPair = own?.before !== undefined && own.after !== undefined;
            return { row, state: stateOf(row, fleet.readers, isPair, this.tan), place };
        });
        this.runs = runsOf(this.entries, visits, ran);
        this.#runLinks = new Set(this.runs.map(({ link }) => link));
        this.links = rows
            .slice(1)
            .map((later, i) =>
                linkBetween(
                    rows[i]!,
                    later,
                    fleet.chassis.get(later.chassis),
                    this.tan ?? 0,
                    this.#runLinks.has(i),
                    changed.get(i + 1) ?? null,
                ),
            );
        // One object for what is one plate.
        let plate: Plate | null = null;
        this.plates = rows.map((row, i) => {
            if (i === 0 || !isSamePlate(rows[i - 1]!, row)) plate = plateOf(row, fleet);
            return plate;
        });
    }

    /** What is known of the state after that run from those that follow, of which `after` tells, as its reader reads; null where nothing may be put right between. */
    #next(run: Run, after: (i: number) => Belief): Belief | null {
        const rest = this.#restAfter(run);
        return rest === null ? null : this.#carried(after(run.link! + 2), run.link! + 1, rest, -1);
    }

    /** What is known of a neighbour of state i, carried to it over `link`. */
    #carried(known: Belief, i: number, link: Link, way: 1 | -1): Belief {
        const from = this.entries[i - way]!.state.reader;
        return beliefAfter(known, from, this.entries[i]!.state.reader, link, way, this.#readers.step);
    }

    /** State i and what is known of a state on one side of it. */
    #meet(last: Belief, i: number, way: 1 | -1): Meeting {
        const before = this.#carried(last, i, this.links[way === 1 ? i - 1 : i]!, way);
        return new Meeting(before, this.entries[i]!.state, this.plates[i]!, this.tan ?? 0);
    }

    /** What lies between the states over which nothing ran, where they can be compared. */
    get rests(): readonly Run[] {
        this.#rests ??= this.links.flatMap((link, i) => {
            const earlier = this.entries[i]!;
            const later = this.entries[i + 1]!;
            const disturbance = this.#runLinks.has(i) ? null : restBetween(earlier.row, later.row, link);
            return disturbance === null ? [] : [between(earlier, later, disturbance, [])];
        });
        return this.#rests;
    }

    get isFront(): boolean {
        return !isRear(this.entries[0]!.row);
    }

    /** What state i and all before it tell of the corner. */
    #before(i: number): Belief {
        const found = this.#forward;
        for (let k = found.length; k <= i; k++) {
            const odds = this.links[k - 1]?.odds ?? 0;
            found[k] =
                k === 0 || this.links[k - 1]!.broken !== null
                    ? sure(this.entries[k]!.state)
                    : this.#meet(this.#leaving(found[k - 1]!, k - 1), k, 1).known(odds);
        }
        return found[i]!;
    }

    /** What state i and all after it up to state `last` tell of the corner; `found` keeps it. */
    #after(i: number, last: number, found: Belief[]): Belief {
        let k = i;
        while (k <= last && found[k] === undefined) k++;
        for (k--; k >= i; k--) {
            const { odds, broken } = this.links[k] ?? {};
            found[k] =
                k === last || broken !== null
                    ? sure(this.entries[k]!.state)
                    : this.#meet(found[k + 1]!, k, -1).known(odds!);
        }
        return found[i]!;
    }

    /** What was done to the corner over that run between two states, by what is known on both sides of it; `link` is that between them. */
    judged(run: Run, earlier: Entry, later: Entry, link: Link): Judged {
        const i = run.link;
        const [from, to] = [earlier.state.reader, later.state.reader];
        const carried = (known: Belief) => beliefAfter(known, from, to, link, 1, this.#readers.step);
        const rest = { putRight: (1 - odds.gap) * this.#share, moved: odds.gap };
        const [plate, tan] = [
            this.plates[run.disturbance === 'adjustment' ? later.place : earlier.place]!,
            this.tan ?? 0,
        ];
        if (i === null) return judge(carried(sure(earlier.state)), sure(later.state), null, rest, plate, tan);
        // What was read after the next setting is weighed by itself, once.
        const { last } = this.afterSet(run);
        const found = last === null ? this.#backward : [];
        const known = (k: number) => this.#after(k, last ?? this.entries.length - 1, found);
        const next = run.disturbance === 'session' ? this.#next(run, known) : null;
        const after = next === null ? known(i + 1) : sure(later.state);
        return judge(carried(this.#leaving(this.#before(i), i)), after, next, rest, plate, tan);
    }

    /** Link after that run, over which somebody may have put right what moved, without a record. */
    #restAfter({ link }: Run): Link | null {
        const next = link === null ? undefined : this.links[link + 1];
        return next === undefined ||
            next.set !== null ||
            next.broken !== null ||
            this.#runLinks.has(link! + 1)
            ? null
            : next;
    }

    /** What moved over its runs, by single states. */
    movedRuns(): Moved[] {
        const stateAt = (i: number) => sure(this.entries[i]!.state);
        return this.runs.flatMap((run) => {
            const next = this.#next(run, stateAt);
            const i = run.link!;
            const plate = this.plates[i] ?? null;
            if (next === null || plate === null) return [];
            const moved = this.#movedAt(i);
            if (moved < 0.01) return [];
            const before = this.#carried(stateAt(i), i + 1, this.links[i]!, 1)[0]!.known;
            const later = this.entries[i + 1]!.state;
            return [{ moved, log: logPutRight(before, later, next[0]!.known, plate, this.tan ?? 0) }];
        });
    }

    /** Probability that the corner moved over link i, by the two states at its ends. */
    #movedAt(i: number): number {
        const moves = this.#runLinks.has(i) ? odds.session : this.links[i]!.odds;
        this.#moved[i] ??= this.#meet(sure(this.entries[i]!.state), i + 1, 1).moved(moves);
        return this.#moved[i]!;
    }

    /** Whether it is likelier than `least` that the corner moved over that rest, by the two states at its ends, toe left out. */
    mayMoveAtRest({ link }: Run, least: number): boolean {
        const earlier = this.entries[link!]!.state;
        const later = this.entries[link! + 1]!.state;
        const rest = this.links[link!]!;
        const before = carried(earlier, earlier.reader, later.reader, rest, 1, this.#readers.step);
        // A change of z standard errors is at most exp(z^2 / 2) times as likely where it moved.
        const needed = Math.log((least * (1 - rest.odds)) / ((1 - least) * rest.odds));
        if (squaresOf(before, later) / 2 < needed) return false;
        const meeting = new Meeting(
            sure(withoutToe(before)),
            withoutToe(later),
            this.plates[link! + 1]!,
            this.tan ?? 0,
        );
        return meeting.moved(rest.odds) >= least;
    }

    /** Probability that over that rest somebody put right what moved over the run before it, of which there is no record. */
    putRight({ link }: Run): number {
        const i = link! - 1;
        if (i < 0) return 0;
        return this.#putRightAfter(i, this.#leaving(this.#before(i), i), this.#before(i + 1));
    }

    /** The same of the link after link i, with what is known before that one and after it; 0 where link i is no run, or nothing may be put right there. */
    #putRightAfter(i: number, before: Belief, after: Belief): number {
        const run = this.runs.find(({ link }) => link === i);
        if (run === undefined || this.#restAfter(run) === null) return 0;
        const put = this.#share * this.#movedAt(run.link!);
        const asBefore = this.#carried(before, i + 1, this.links[i]!, 1);
        const [returned, stayed] = [asBefore, after].map((known) => this.#meet(known, i + 2, 1).logs);
        const logs = [
            returned!.stayed + Math.log(put),
            stayed!.stayed + Math.log((1 - put) * (1 - odds.gap)),
            stayed!.moved + Math.log((1 - put) * odds.gap),
        ];
        const top = Math.max(...logs);
        const [first, ...others] = logs.map((log) => Math.exp(log - top));
        return first! / others.reduce((sum, other) => sum + other, first!);
    }

    /** What was read after the next setting says of what lies between two states: see {@link AfterSet}. */
    afterSet({ link }: Run): AfterSet {
        return (link === null ? undefined : this.#afterSets[link]) ?? silent;
    }

    /**
     * What was read after the setting over link `set` says of each link from `first` on up to it, where one of them at the most moved: each
     * may have, so that what is found afterwards does not speak for all of them.
     */
    #weighSetting(first: number, set: number): void {
        const links = Array.from({ length: set - first }, (_, k) => first + k);
        const moved = links.map((i) => this.#movedAt(i));
        const moves = this.#runLinks.has(set) ? odds.session : odds.set;
        const logOf = (known: Known) => {
            const { stayed, moved: log } = this.#meet(sure(known), set + 1, 1).logs;
            const top = Math.max(stayed, log);
            return top + Math.log(Math.exp(stayed - top) * (1 - moves) + Math.exp(log - top) * moves);
        };
        const read = links.map((i) => this.#brought(this.entries[i + 1]!.state, i + 1, set));
        const undone: number[] = [];
        const remains: number[] = [];
        let [since, all] = [unknown(), unknown()];
        for (let k = links.length - 1; k >= 0; k--) {
            since = pooled(read[k]!, since);
            const before = this.#brought(this.#asSet[links[k]!]!.known, links[k]!, set);
            all = pooled(before, since);
            undone[k] = logOf(before);
            remains[k] = logOf(since);
        }
        const still = logOf(all);
        for (const [k, i] of links.entries()) {
            const others = links.flatMap((_, j) => (j === k ? [] : [j]));
            if (this.#asSet[i]!.displaced > 0.5 || others.some((j) => moved[j]! > 0.5)) continue;
            const top = Math.max(still, ...undone);
            const stayed = others.reduce((product, j) => product * (1 - moved[j]!), 1);
            const held = others.reduce(
                (sum, j) => sum + moved[j]! * Math.exp(undone[j]! - top),
                stayed * Math.exp(still - top),
            );
            const ratio = (log: number) => Math.min(Math.max(Math.exp(log - top) / held, 1e-9), 1e9);
            const after = sure(this.entries[i + 1]!.state);
            this.#afterSets[i] = {
                last: set,
                undone: ratio(undone[k]!),
                remains: ratio(remains[k]!),
                putRight: i + 1 < set ? this.#putRightAfter(i, sure(this.#asSet[i]!.known), after) : 0,
            };
        }
    }

    /** What is known of state i, as the reader of state `last` would read it there. */
    #brought(known: Known, i: number, last: number): Known {
        let brought = known;
        for (let k = i; k < last; k++)
            brought = this.#carried(sure(brought), k + 1, this.links[k]!, 1)[0]!.known;
        return brought;
    }

    #weighSettings(): void {
        let first = 0;
        for (const [i, { set, broken }] of this.links.entries()) {
            if (broken !== null) first = i + 1;
            else if (set !== null) {
                if (i > first) this.#weighSetting(Math.max(first, i - MOST_WEIGHED), i);
                first = i;
            }
        }
    }

    /** The corner as it leaves state i, of which `known` is what all before tell: see {@link leaving}. */
    #leaving(known: Belief, i: number): Belief {
        return this.links[i]!.set === null ? known : leaving(known, this.#asSet[i]!);
    }

    /** Works out what is known on both sides of each state, where `share` of what moves over a run is put right; what is judged comes after it. */
    follow(share: number): void {
        this.#share = share;
        const states = this.entries.map(({ state }) => state);
        const lastSet = this.links.findLastIndex(({ set }) => set !== null);
        this.#asSet = asSet(
            states.slice(0, lastSet + 1),
            this.links,
            (before, i) => this.#meet(before, i, 1),
            (before, i) => {
                const { set, odds: moves } = this.links[i - 1]!;
                if (set !== null) return moves;
                const stays = this.#runLinks.has(i - 1) ? 1 : 1 - share;
                return before * stays + (1 - before) * moves;
            },
        );
        this.#weighSettings();
        for (const [i, link] of this.links.entries()) {
            if (link.set !== null) link.odds = 1 - (1 - link.odds) * (1 - this.#asSet[i]!.undone);
        }
        for (const run of this.runs) {
            const rest = this.#restAfter(run);
            if (rest !== null) rest.odds = odds.gap + (1 - odds.gap) * share * this.#movedAt(run.link!);
        }
    }
}
