import type { Value } from '../tables/batch.js';
import {
    type AsSet,
    asSet,
    type Belief,
    beliefAfter,
    known,
    type Link,
    leaving,
    Meeting,
    type Plate,
    places,
    type State,
    setBy,
    sure,
    unknown,
} from './chain.js';
import type { Chassis } from './chassis.js';
import { angles, type Readers } from './readers.js';

/** A row of sql/drift/session_changes, a state, a run or a change of a car. */
export type Cells = Readonly<Record<string, Value>>;

/**
 * Probabilities that a corner moves over a session, from one visit to the next though nothing moved before, and while it is set; and that
 * setting the bearing anew undoes what moved, as it does a slip and not a bend (common practice, no source).
 */
export const odds = { session: 0.2, gap: 0.03, set: 0.05, undone: 0.85 };

/** One state of a corner, with what the row says of it. */
export interface Entry {
    row: Cells;
    state: State;
}

const isRear = ({ corner }: Cells) => (corner as string).startsWith('R');
export const isSession = ({ visit_kind }: Cells) => visit_kind === 'session';

function stateOf(row: Cells, readers: Readers, isPair: boolean, tanCaster: number | null): State {
    const { values, variances } = unknown();
    for (const [place, angle] of angles.entries()) {
        // Of a rear nothing else is compared.
        if (row[angle] === null || (isRear(row) && (angle === 'caster_deg' || angle === 'sai_deg'))) continue;
        values[place] = row[angle] as number;
        const count = row[angle.replace('_deg', '_count')] as number;
        variances[place] = readers.variance(row.reader!, place, count, isPair);
    }
    const [toe, camber, equalToe] = [places.toe, places.camber, places.equalToe];
    if (tanCaster !== null && row.toe_deg !== null && row.camber_deg !== null) {
        values[equalToe] = values[camber]! + tanCaster * values[toe]!;
        variances[equalToe] = variances[camber]! + tanCaster * tanCaster * variances[toe]!;
    }
    return { values, variances, reader: row.reader as number };
}

/** Tangent of a front corner's caster, or of its chassis'; null where neither was read. */
function tanCasterOf(rows: readonly Cells[]): number | null {
    if (isRear(rows[0]!)) return null;
    const read = rows.flatMap(({ caster_deg }) => (caster_deg === null ? [] : [caster_deg as number]));
    const caster =
        read.length === 0
            ? (rows[0]!.chassis_caster_deg as number | null)
            : read.reduce((sum, one) => sum + one, 0) / read.length;
    return caster === null ? null : Math.tan((caster * Math.PI) / 180);
}

/** Change of the offset by the pointers, mm; null where it is not known or under a thousandth. */
export function pointerChange(earlier: Cells, later: Cells): readonly [number, number] | null {
    if (earlier.offset_out_mm === null || later.offset_out_mm === null) return null;
    const change = [
        (later.offset_out_mm as number) - (earlier.offset_out_mm as number),
        (later.offset_aft_mm as number) - (earlier.offset_aft_mm as number),
    ] as const;
    return Math.abs(change[0]) + Math.abs(change[1]) > 1e-3 ? change : null;
}

export const pointerVariance = (earlier: Cells, later: Cells) =>
    ((earlier.pointer_var_mm2 ?? 0) as number) + ((later.pointer_var_mm2 ?? 0) as number);

/** Nothing is touched on purpose over a session visit or a check; between visits and in the others, what the pointers say was set. */
export const isTouched = (earlier: Cells, later: Cells) =>
    earlier.visit !== later.visit || later.visit_kind === 'install' || later.visit_kind === 'adjust';

export function linkBetween(
    earlier: Cells,
    later: Cells,
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

function mirrorOf({ plate_hand, corner }: Cells): number {
    return (plate_hand === 'left') === (corner as string).endsWith('L') ? 1 : -1;
}

/** The plate of a front; null for a rear and where no slope is known. */
function plateOf(row: Cells, chassis: Chassis | undefined): Plate | null {
    if (chassis === undefined || isRear(row)) return null;
    const direction = row.direction as number | null;
    const freedom =
        row.kit === null ? 'none' : row.two_scales === true || direction === null ? 'plane' : 'slot';
    const slot =
        direction === null ? null : ([Math.cos(direction) * mirrorOf(row), Math.sin(direction)] as const);
    return { chassis, freedom, slot };
}

const isSamePlate = (one: Plate, other: Plate) =>
    one.chassis === other.chassis &&
    one.freedom === other.freedom &&
    one.slot?.[0] === other.slot?.[0] &&
    one.slot?.[1] === other.slot?.[1];

/** A session over a corner: between which of its states, and what runs it holds. */
export interface Run {
    visit: string;
    earlier: Entry | undefined;
    later: Entry | undefined;
    /** Place of the earlier state, where the later one follows it; null where others lie between, as of visits that overlap. */
    link: number | null;
    sessions: readonly string[];
    /** Why it is not judged here. */
    missing: string | null;
}

/** Runs by the place of the state before which they were. */
export type Ran = ReadonlyMap<number, readonly string[]>;

function runsOf(entries: readonly Entry[], ran: Ran): Run[] {
    const runs: Run[] = [];
    const visits = new Map<string, { before?: number; after?: number; named: string }>();
    for (const [i, { row }] of entries.entries()) {
        if (!isSession(row)) continue;
        const visit = row.visit as string;
        const own = visits.get(visit) ?? { named: (row.session ?? visit) as string };
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
            visit,
            earlier,
            later,
            link,
            sessions: [
                ...(shared ? [(previous.session ?? previous.visit) as string] : []),
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
        runs.push({
            visit: later.row.visit as string,
            earlier,
            later,
            link: place - 1,
            sessions: names,
            missing: null,
        });
    }
    return runs;
}

/** The states of a corner in time order, with what lies between them, and its runs. */
export class CornerChain {
    readonly entries: readonly Entry[];
    readonly runs: readonly Run[];
    readonly links: readonly Link[];
    readonly plates: readonly (Plate | null)[];
    readonly chassis: readonly (Chassis | undefined)[];
    readonly tan: number | null;
    readonly #readers: Readers;
    readonly #runLinks: ReadonlySet<number | null>;
    #asSet: readonly AsSet[] = [];

    constructor(
        rows: readonly Cells[],
        ran: Ran,
        changed: ReadonlyMap<number, string>,
        chassisNamed: ReadonlyMap<string, Chassis>,
        readers: Readers,
    ) {
        this.#readers = readers;
        this.tan = tanCasterOf(rows);
        const phases = new Map<string, Set<Value>>();
        for (const row of rows.filter(isSession)) {
            const own = phases.get(row.visit as string) ?? new Set();
            phases.set(row.visit as string, own.add(row.phase!));
        }
        this.entries = rows.map((row): Entry => {
            const own = phases.get(row.visit as string);
            const isPair = isSession(row) && own!.has('before') && own!.has('after');
            return { row, state: stateOf(row, readers, isPair, this.tan) };
        });
        this.runs = runsOf(this.entries, ran);
        this.#runLinks = new Set(this.runs.map(({ link }) => link));
        this.chassis = rows.map((row) => chassisNamed.get(row.chassis as string));
        this.links = rows.slice(1).map((later, i) =>
            linkBetween(rows[i]!, later, this.chassis[i + 1], this.tan ?? 0, {
                ran: this.#runLinks.has(i),
                changed: changed.get(i + 1) ?? null,
            }),
        );
        let plate: Plate | null = null;
        this.plates = rows.map((row, i) => {
            const made = plateOf(row, this.chassis[i]);
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
        return this.meet(sure(this.entries[link!]!.state), link! + 1, 1).moved(odds.session);
    }

    /** The corner as it leaves state i, of which `known` is what all before tell: see {@link leaving}. */
    leaving(known: Belief, i: number): Belief {
        return this.links[i]!.set === null ? known : leaving(known, this.#asSet[i]!, odds.undone);
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
        for (const [i, link] of this.links.entries()) {
            if (link.set !== null)
                link.odds = 1 - (1 - link.odds) * (1 - this.#asSet[i]!.displaced * odds.undone);
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
