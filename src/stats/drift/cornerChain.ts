import type { Row } from '../tables/batch.js';
import {
    type AsSet,
    asSet,
    type Belief,
    beliefAfter,
    type Known,
    known,
    type Link,
    leaving,
    Meeting,
    type Plate,
    places,
    pooled,
    type State,
    setBy,
    sure,
    unknown,
    unread,
} from './chain.js';
import { type Chassis, chassisByName } from './chassis.js';
import { angles, Readers } from './readers.js';

/** A state of a corner as sql/drift/session_changes gives it. */
export interface StateRow {
    chassis: string;
    vehicle: string;
    corner: string;
    visit: string;
    visit_kind: string;
    phase: string;
    session: string | null;
    measured_ts: number;
    ordered_ts: number;
    kit: string | null;
    plate_hand: string | null;
    plate_index: number | null;
    mark_1: number | null;
    offset_out_mm: number | null;
    offset_aft_mm: number | null;
    pointer_var_mm2: number | null;
    /** Camber, caster, SAI and toe, and the readings in each mean. */
    angles: readonly (number | null)[];
    counts: readonly (number | null)[];
    toe_reset: boolean | null;
    height_mm: number | null;
    reader: number;
}

/** Probabilities that a corner moves over a session, from one visit to the next though nothing moved before, and while it is set (common practice, no source). */
export const odds = { session: 0.2, gap: 0.03, set: 0.05 };

/** One state of a corner, with what the row says of it. */
export interface Entry {
    row: StateRow;
    state: State;
    /** Its place among the states. */
    place: number;
}

export const isRear = ({ corner }: StateRow) => corner.startsWith('R');
export const isSession = ({ visit_kind }: StateRow) => visit_kind === 'session';

function stateOf(row: StateRow, readers: Readers, isPair: boolean, tanCaster: number | null): State {
    const { values, variances } = unknown();
    for (let place = 0; place < angles.length; place++) {
        const read = row.angles[place]!;
        // Of a rear nothing else is compared.
        if (read === null || (isRear(row) && (place === places.caster || place === places.sai))) continue;
        values[place] = read;
        variances[place] = readers.variance(row.reader, place, row.counts[place]!, isPair);
    }
    const { toe, camber, equalToe } = places;
    if (tanCaster !== null && variances[toe] !== unread && variances[camber] !== unread) {
        values[equalToe] = values[camber]! + tanCaster * values[toe]!;
        variances[equalToe] = variances[camber]! + tanCaster * tanCaster * variances[toe]!;
    }
    return { values, variances, reader: row.reader };
}

/** Tangent of a front corner's caster, or of its chassis'; null where neither was read. */
function tanCasterOf(rows: readonly StateRow[], { casters }: Fleet): number | null {
    const [{ chassis }] = rows as [StateRow];
    if (isRear(rows[0]!)) return null;
    let [sum, count] = [0, 0];
    for (const { angles: read } of rows) {
        if (read[places.caster] === null) continue;
        sum += read[places.caster]!;
        count++;
    }
    const caster = count > 0 ? sum / count : (casters.get(chassis) ?? null);
    return caster === null ? null : Math.tan((caster * Math.PI) / 180);
}

/** Change of the offset by the pointers, mm; null where it is not known or under a thousandth. */
export function pointerChange(earlier: StateRow, later: StateRow): readonly [number, number] | null {
    if (earlier.offset_out_mm === null || later.offset_out_mm === null) return null;
    const change = [
        later.offset_out_mm - earlier.offset_out_mm,
        later.offset_aft_mm! - earlier.offset_aft_mm!,
    ] as const;
    return Math.abs(change[0]) + Math.abs(change[1]) > 1e-3 ? change : null;
}

export const pointerVariance = (earlier: StateRow, later: StateRow) =>
    (earlier.pointer_var_mm2 ?? 0) + (later.pointer_var_mm2 ?? 0);

/** Nothing is touched on purpose over a session visit or a check; between visits and in the others, what the pointers say was set. */
export const isTouched = (earlier: StateRow, later: StateRow) =>
    earlier.visit !== later.visit || later.visit_kind === 'install' || later.visit_kind === 'adjust';

export function linkBetween(
    earlier: StateRow,
    later: StateRow,
    chassis: Chassis | undefined,
    tanCaster: number,
    { ran, changed }: { ran: boolean; changed: string | null },
): Link {
    const samePlate =
        earlier.kit === later.kit &&
        earlier.plate_index === later.plate_index &&
        earlier.plate_hand === later.plate_hand;
    const isFront = !isRear(later);
    const touched = isTouched(earlier, later);
    const change = isFront && touched ? pointerChange(earlier, later) : null;
    const isKnown = samePlate || (touched && earlier.kit === later.kit && later.offset_out_mm !== null);
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

/** What lies between two states over which nothing ran; null where they have nothing to compare. */
function restBetween(earlier: StateRow, later: StateRow, { broken, set }: Link): Disturbance | null {
    if (broken !== null) return null;
    if (set !== null) return 'adjustment';
    if (earlier.visit !== later.visit || !isTouched(earlier, later)) return 'transport';
    // Without offsets nobody knows what was set on purpose.
    return isRear(later) || (earlier.offset_out_mm !== null && later.offset_out_mm !== null)
        ? 'adjustment'
        : null;
}

function mirrorOf({ plate_hand, corner }: StateRow): number {
    return (plate_hand === 'left') === corner.endsWith('L') ? 1 : -1;
}

/** The scales of a plate, see table plates. */
export interface Scales {
    kit: string;
    chassis: string | null;
    index_step_deg: number;
    axis_deg: number;
    pitch_mm: number;
    mark_min: number | null;
    mark_max: number | null;
    two_scales: boolean;
}

/** What is known of cars besides their states. */
export class Fleet {
    readonly readers: Readers;
    readonly chassis: ReadonlyMap<string, Chassis>;
    /** Usual caster, by chassis. */
    readonly casters: ReadonlyMap<string, number | null>;
    readonly #scales: readonly Scales[];

    constructor(whole: Readonly<Record<string, readonly Row[]>>) {
        this.readers = new Readers(whole);
        this.chassis = chassisByName(whole.sensitivities!);
        this.casters = new Map(
            whole.chassis_casters!.map((row) => [row.chassis as string, row.caster_deg as number | null]),
        );
        this.#scales = whole.plates as readonly Row[] as unknown as Scales[];
    }

    /** The kit's row for this chassis wins over its row for any chassis. */
    scalesOf({ kit, chassis }: StateRow): Scales | undefined {
        const of = (own: string | null) => this.#scales.find((row) => row.kit === kit && row.chassis === own);
        return kit === null ? undefined : (of(chassis) ?? of(null));
    }
}

/** The plate of a front; null for a rear and where no slope is known. */
function plateOf(row: StateRow, fleet: Fleet): Plate | null {
    const chassis = fleet.chassis.get(row.chassis);
    if (chassis === undefined || isRear(row)) return null;
    const scales = fleet.scalesOf(row);
    const turned = scales === undefined || row.plate_index === null ? null : row.plate_index - 1;
    const direction =
        turned === null ? null : ((scales!.axis_deg + turned * scales!.index_step_deg) * Math.PI) / 180;
    const freedom = row.kit === null ? 'none' : scales?.two_scales || direction === null ? 'plane' : 'slot';
    const slot =
        direction === null ? null : ([Math.cos(direction) * mirrorOf(row), Math.sin(direction)] as const);
    return { chassis, freedom, slot, slips: [], shown: [] };
}

const isSamePlate = (one: Plate, other: Plate) =>
    one.chassis === other.chassis &&
    one.freedom === other.freedom &&
    one.slot?.[0] === other.slot?.[0] &&
    one.slot?.[1] === other.slot?.[1];

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

/** How much likelier what was read after the next setting is than if nothing had moved: where that undid what moved, and where it is still there. */
export interface AfterSet {
    /** The last state before that setting; null where it tells nothing. */
    last: number | null;
    undone: number;
    remains: number;
    /** Probability that what moved was put right before that setting, without a record. */
    putRight: number;
}

/** States before a setting of which it is asked. */
const MOST_WEIGHED = 12;

const silent: AfterSet = { last: null, undone: 1, remains: 1, putRight: 0 };

/** Runs by the place of the state before which they were. */
export type Ran = ReadonlyMap<number, readonly string[]>;

function runsOf(entries: readonly Entry[], ran: Ran): Run[] {
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
const between = (
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

const withoutToe = (state: State): State => {
    const variances = state.variances.slice();
    variances[places.toe] = unread;
    return { ...state, variances };
};

/** The states of a corner in time order, with what lies between them, and its runs. */
export class CornerChain {
    readonly entries: readonly Entry[];
    readonly runs: readonly Run[];
    /** What lies between the states over which nothing ran, where they can be compared. */
    readonly rests: readonly Run[];
    readonly links: readonly Link[];
    readonly plates: readonly (Plate | null)[];
    readonly tan: number | null;
    readonly #readers: Readers;
    readonly #runLinks: ReadonlySet<number | null>;
    #asSet: readonly AsSet[] = [];
    readonly #afterSets: AfterSet[] = [];

    constructor(rows: readonly StateRow[], ran: Ran, changed: ReadonlyMap<number, string>, fleet: Fleet) {
        this.#readers = fleet.readers;
        this.tan = tanCasterOf(rows, fleet);
        const phases = new Map<string, number>();
        for (const row of rows)
            if (isSession(row))
                phases.set(
                    row.visit,
                    (phases.get(row.visit) ?? 0) |
                        (row.phase === 'before' ? 1 : row.phase === 'after' ? 2 : 0),
                );
        this.entries = rows.map((row, place): Entry => {
            const isPair = isSession(row) && phases.get(row.visit) === 3;
            return { row, state: stateOf(row, fleet.readers, isPair, this.tan), place };
        });
        this.runs = runsOf(this.entries, ran);
        this.#runLinks = new Set(this.runs.map(({ link }) => link));
        this.links = rows.slice(1).map((later, i) =>
            linkBetween(rows[i]!, later, fleet.chassis.get(later.chassis), this.tan ?? 0, {
                ran: this.#runLinks.has(i),
                changed: changed.get(i + 1) ?? null,
            }),
        );
        this.rests = this.links.flatMap((link, i) => {
            const disturbance = this.#runLinks.has(i) ? null : restBetween(rows[i]!, rows[i + 1]!, link);
            if (disturbance === null) return [];
            return between(this.entries[i]!, this.entries[i + 1]!, disturbance, []);
        });
        let plate: Plate | null = null;
        this.plates = rows.map((row) => {
            const made = plateOf(row, fleet);
            // One object for what is one plate.
            if (made === null || plate === null || !isSamePlate(made, plate)) plate = made;
            return plate;
        });
    }

    /** What is known of the state after that run from those that follow, as its reader reads; null where nothing may be put right between. */
    next(run: Run, backward: readonly Belief[]): Belief | null {
        const rest = this.restAfter(run);
        return rest === null ? null : this.#carried(backward[run.link! + 2]!, run.link! + 1, rest, -1);
    }

    /** What is known of a neighbour of state i, carried to it over `link`. */
    #carried(known: Belief, i: number, link: Link, way: 1 | -1): Belief {
        const [from, to] = [this.entries[i - way]!.state.reader, this.entries[i]!.state.reader];
        return beliefAfter(known, from, to, link, way, this.#readers.step);
    }

    /** State i and what is known of a state on one side of it. */
    meet(last: Belief, i: number, way: 1 | -1): Meeting {
        const before = this.#carried(last, i, this.links[way === 1 ? i - 1 : i]!, way);
        return new Meeting(before, this.entries[i]!.state, this.plates[i]!, this.tan ?? 0);
    }

    get isFront(): boolean {
        return !isRear(this.entries[0]!.row);
    }

    /** What is known after each state from `first` on of those up to `last`, by their places. */
    backwardFrom(last: number, first: number): Belief[] {
        const found: Belief[] = [];
        found[last] = sure(this.entries[last]!.state);
        for (let i = last - 1; i >= first; i--)
            found[i] = this.meet(found[i + 1]!, i, -1).known(this.links[i]!.odds);
        return found;
    }

    /** Link after that run, over which somebody may have put right what moved, without a record. */
    restAfter({ link }: Run): Link | null {
        const next = link === null ? undefined : this.links[link + 1];
        return next === undefined ||
            next.set !== null ||
            next.broken !== null ||
            this.#runLinks.has(link! + 1)
            ? null
            : next;
    }

    /** Probability that the corner moved over that run, by the two states at its ends. */
    moved({ link }: Run): number {
        return this.#movedAt(link!);
    }

    /** The same of link i. */
    #movedAt(i: number): number {
        const moves = this.#runLinks.has(i) ? odds.session : this.links[i]!.odds;
        return this.meet(sure(this.entries[i]!.state), i + 1, 1).moved(moves);
    }

    /** Probability that the corner moved over that rest, by the two states at its ends, toe left out. */
    movedAtRest({ link }: Run): number {
        const [earlier, later] = [link!, link! + 1].map((i) => withoutToe(this.entries[i]!.state));
        const rest = this.links[link!]!;
        const before = beliefAfter(
            sure(earlier!),
            earlier!.reader,
            later!.reader,
            rest,
            1,
            this.#readers.step,
        );
        return new Meeting(before, later!, this.plates[link! + 1]!, this.tan ?? 0).moved(rest.odds);
    }

    /**
     * Probability that over that rest somebody put right what moved over the run before it, of which there is no record: `forward` is what is
     * known before each state, `share` of what moves over a run is put right.
     */
    putRight({ link }: Run, forward: readonly Belief[], share: number): number {
        const i = link! - 1;
        return i < 0 ? 0 : this.#putRightAfter(i, this.leaving(forward[i]!, i), forward[i + 1]!, share);
    }

    /** The same of the link after link i, with what is known before that one and after it; 0 where link i is no run, or nothing may be put right there. */
    #putRightAfter(i: number, before: Belief, after: Belief, share: number): number {
        const run = this.runs.find(({ link }) => link === i);
        if (run === undefined || this.restAfter(run) === null) return 0;
        const put = share * this.moved(run);
        const asBefore = this.#carried(before, i + 1, this.links[i]!, 1);
        const [returned, stayed] = [asBefore, after].map((known) => this.meet(known, i + 2, 1).logs);
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
    #weighSetting(first: number, set: number, share: number): void {
        const links = Array.from({ length: set - first }, (_, k) => first + k);
        const moved = links.map((i) => this.#movedAt(i));
        const moves = this.#runLinks.has(set) ? odds.session : odds.set;
        const logOf = (known: Known) => {
            const { stayed, moved: log } = this.meet(sure(known), set + 1, 1).logs;
            const top = Math.max(stayed, log);
            return top + Math.log(Math.exp(stayed - top) * (1 - moves) + Math.exp(log - top) * moves);
        };
        const read = links.map((i) => this.#brought(this.entries[i + 1]!.state, i + 1, set));
        const undone: number[] = [];
        const remains: number[] = [];
        let since: Known = unknown();
        for (let k = links.length - 1; k >= 0; k--) {
            since = pooled(read[k]!, since);
            const before = this.#brought(this.#asSet[links[k]!]!.known, links[k]!, set);
            undone[k] = logOf(before);
            remains[k] = logOf(since);
            if (k === 0) undone.push(logOf(pooled(before, since)));
        }
        const still = undone.pop()!;
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
                putRight: i + 1 < set ? this.#putRightAfter(i, sure(this.#asSet[i]!.known), after, share) : 0,
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

    #weighSettings(share: number): void {
        let first = 0;
        for (const [i, { set, broken }] of this.links.entries()) {
            if (broken !== null) first = i + 1;
            else if (set !== null) {
                if (i > first) this.#weighSetting(Math.max(first, i - MOST_WEIGHED), i, share);
                first = i;
            }
        }
    }

    /** The corner as it leaves state i, of which `known` is what all before tell: see {@link leaving}. */
    leaving(known: Belief, i: number): Belief {
        return this.links[i]!.set === null ? known : leaving(known, this.#asSet[i]!);
    }

    /** What is known before each state, itself included, and after it, where `share` of what moves over a run is put right. */
    known(share: number): { forward: Belief[]; backward: Belief[] } {
        const states = this.entries.map(({ state }) => state);
        this.#asSet = asSet(
            states,
            this.links,
            (before, i) => this.meet(before, i, 1),
            (before, i) => {
                const { set, odds: moves } = this.links[i - 1]!;
                if (set !== null) return moves;
                const stays = this.#runLinks.has(i - 1) ? 1 : 1 - share;
                return before * stays + (1 - before) * moves;
            },
        );
        this.#weighSettings(share);
        for (const [i, link] of this.links.entries()) {
            if (link.set !== null) link.odds = 1 - (1 - link.odds) * (1 - this.#asSet[i]!.undone);
        }
        for (const run of this.runs) {
            const rest = this.restAfter(run);
            if (rest !== null) rest.odds = odds.gap + (1 - odds.gap) * share * this.moved(run);
        }
        const last = states.length - 1;
        const forward = known(states, this.links, (before, i) =>
            this.meet(this.leaving(before, i - 1), i, 1),
        );
        const backward = known([...states].reverse(), [...this.links].reverse(), (after, i) =>
            this.meet(after, last - i, -1),
        ).reverse();
        return { forward, backward };
    }
}
