import {
    type AsSet,
    asSet,
    carried,
    changesOf,
    expectedAfter,
    judge,
    type Known,
    known,
    type Link,
    leaving,
    logPutRight,
    Meeting,
    type Plate,
    places,
    type State,
    type Step,
    setBy,
    unknown,
} from '../drift/chain.js';
import { type Chassis, chassisByName } from '../drift/chassis.js';
import type { Changes } from '../drift/gaussian.js';
import { type Batch, groupsBy, type Row, type TableFunction, type Value } from './batch.js';

type Cells = Readonly<Record<string, Value>>;

const angles = ['camber_deg', 'caster_deg', 'sai_deg', 'toe_deg'] as const;

/**
 * Probabilities that a corner moves over a session, from one visit to the next though nothing moved before, and while it is set; and that
 * setting the bearing anew undoes what moved, as it does a slip and not a bend (common practice, no source).
 */
const odds = { session: 0.2, gap: 0.03, set: 0.05, undone: 0.85 };

/** Variance of the difference of two ride heights, each read to 3 mm where the car settles (common practice, no source), mm2. */
const HEIGHT_VARIANCE = 18;

interface Noise {
    readVariance: number;
    /** The same, not widened for what is not known of it. */
    oneVariance: number;
    sharedVariance: number;
    setUpVariance: number;
    /** Visits tell of set-ups, and so of readings and set-ups together. */
    isTold: boolean;
    bias: number;
    biasVariance: number;
}

/** What is known of readings: by reader and angle, and of pairs of readers. */
class Readers {
    readonly #noise = new Map<string, Noise>();
    readonly #steps = new Map<string, { step: number; variance: number }>();
    readonly #sessionVariances: readonly { variance: number; isTold: boolean }[];

    constructor(whole: Readonly<Record<string, readonly Row[]>>) {
        for (const row of whole.reader_noise!) {
            this.#noise.set(`${row.reader} ${row.response}`, {
                readVariance: row.read_var_deg2 as number,
                oneVariance: row.one_var_deg2 as number,
                sharedVariance: row.shared_var_deg2 as number,
                setUpVariance: row.set_up_var_deg2 as number,
                isTold: row.set_up_source === 'visits',
                bias: row.bias_deg as number,
                biasVariance: row.bias_var_deg2 as number,
            });
        }
        for (const { reader_1, reader_2, response, step_deg, step_var_deg2 } of whole.reader_biases!) {
            if (reader_1 === null) continue;
            const variance = step_var_deg2 as number;
            this.#steps.set(`${reader_1} ${reader_2} ${response}`, { step: step_deg as number, variance });
            this.#steps.set(`${reader_2} ${reader_1} ${response}`, { step: -(step_deg as number), variance });
        }
        this.#sessionVariances = angles.map((angle) => {
            const row = whole.session_vars!.find(({ response }) => response === angle)!;
            return { variance: row.session_var_deg2 as number, isTold: (row.pair_count as number) > 0 };
        });
    }

    /** Variance of the mean of `count` readings, with that of a set-up: of a session visit that read before and after, as sessions tell. */
    variance(reader: Value, angle: number, count: number, isPair: boolean): number {
        const noise = this.#noise.get(`${reader} ${angles[angle]}`)!;
        const { sharedVariance, setUpVariance, isTold } = noise;
        const session = this.#sessionVariances[angle]!;
        const one = (isPair ? session.isTold : isTold) ? noise.oneVariance : noise.readVariance;
        const mean = sharedVariance + (one - sharedVariance) / count;
        return mean + (isPair ? session.variance / 2 : setUpVariance);
    }

    /** See {@link Step}; camber at equal toe has the step of camber: toe's part is a tenth of toe's. */
    readonly step: Step = (from, to, place) => {
        const angle = angles[place === places.equalToe ? places.camber : place]!;
        const exact = this.#steps.get(`${from} ${to} ${angle}`);
        if (exact !== undefined) return exact;
        const [before, after] = [this.#noise.get(`${from} ${angle}`)!, this.#noise.get(`${to} ${angle}`)!];
        return { step: after.bias - before.bias, variance: before.biasVariance + after.biasVariance };
    };
}

/** One state of a corner, with what the row says of it. */
interface Entry {
    row: Cells;
    state: State;
}

const isRear = ({ corner }: Cells) => (corner as string).startsWith('R');
const isSession = ({ visit_kind }: Cells) => visit_kind === 'session';

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
function pointerChange(earlier: Cells, later: Cells): readonly [number, number] | null {
    if (earlier.offset_out_mm === null || later.offset_out_mm === null) return null;
    const change = [
        (later.offset_out_mm as number) - (earlier.offset_out_mm as number),
        (later.offset_aft_mm as number) - (earlier.offset_aft_mm as number),
    ] as const;
    return Math.abs(change[0]) + Math.abs(change[1]) > 1e-3 ? change : null;
}

const pointerVariance = (earlier: Cells, later: Cells) =>
    ((earlier.pointer_var_mm2 ?? 0) as number) + ((later.pointer_var_mm2 ?? 0) as number);

/** Nothing is touched on purpose over a session visit or a check; between visits and in the others, what the pointers say was set. */
const isTouched = (earlier: Cells, later: Cells) =>
    earlier.visit !== later.visit || later.visit_kind === 'install' || later.visit_kind === 'adjust';

function linkBetween(
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

/** A session over a corner: between which of its states, and what runs it holds. */
interface Run {
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
type Ran = ReadonlyMap<number, readonly string[]>;

function runsOf(entries: readonly Entry[], ran: Ran): Run[] {
    const runs: Run[] = [];
    const visits = new Set(entries.filter(({ row }) => isSession(row)).map(({ row }) => row.visit as string));
    for (const visit of visits) {
        const own = entries.flatMap(({ row }, i) => (row.visit === visit ? [i] : []));
        const before = own.find((i) => entries[i]!.row.phase === 'before');
        const after = own.find((i) => entries[i]!.row.phase === 'after');
        const first = before ?? (after !== undefined && after > 0 ? after - 1 : undefined);
        const last = after ?? (before !== undefined && before + 1 < entries.length ? before + 1 : undefined);
        const [earlier, later] = [first, last].map((i) => (i === undefined ? undefined : entries[i]));
        const named = (entries[own[0]!]!.row.session ?? visit) as string;
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

function reasonOf({ earlier, later, missing }: Run, link: Link): string | null {
    if (missing !== null || earlier === undefined || later === undefined) return missing;
    return link.broken;
}

/** The states of a corner in time order, with what lies between them, and its runs. */
class Chain {
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
        this.plates = rows.map((row, i) => plateOf(row, this.chassis[i]));
    }

    /** What is known of the state after that run from those that follow, as its reader reads; null where nothing may be put right between. */
    next(run: Run, backward: readonly State[]): Known | null {
        const rest = this.restAfter(run);
        const i = run.link! + 1;
        return rest === null
            ? null
            : carried(backward[i + 1]!, this.entries[i]!.state.reader, rest, -1, this.#readers.step);
    }

    /** State i and what is known of a state on one side of it. */
    meet(last: State, i: number, way: 1 | -1): Meeting {
        const link = this.links[way === 1 ? i - 1 : i]!;
        const { state } = this.entries[i]!;
        return new Meeting(last, state, link, way, this.plates[i]!, this.tan ?? 0, this.#readers.step);
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
        return this.meet(this.entries[link!]!.state, link! + 1, 1).moved(odds.session);
    }

    /** The corner as it leaves state i, of which `known` is what all before tell: see {@link leaving}. */
    leaving(known: State, i: number): State {
        return this.links[i]!.set === null ? known : leaving(known, this.#asSet[i]!, odds.undone);
    }

    /** What is known before each state, itself included, and after it, where `share` of what moves over a run is put right. */
    known(share: number): { forward: State[]; backward: State[] } {
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

/** Changes as columns: values and variances of camber, caster, SAI and toe, NULL where nothing tells. */
function columnsOf(known: { changes: Changes } | null, kind: string): Record<string, Value> {
    const cells: Record<string, Value> = {};
    for (const [place, angle] of angles.entries()) {
        const read = known?.changes.read.includes(place) ?? false;
        const name = angle.replace('_deg', kind);
        cells[`${name}_deg`] = read ? known!.changes.values[place]! : null;
        cells[`${name}_var_deg2`] = read ? known!.changes.variances[place]! : null;
    }
    return cells;
}

function rowsOfCorner(chain: Chain, readers: Readers, share: number): Record<string, Value>[] {
    const { entries, runs, links, plates, tan } = chain;
    const tanCaster = tan ?? 0;
    const { forward, backward } = chain.known(share);
    return runs.map((run) => {
        const { earlier, later, link: i } = run;
        const [first, last] = [earlier ?? later!, later ?? earlier!];
        const [before, after] = [first.row, last.row];
        const link =
            i === null
                ? linkBetween(before, after, chain.chassis[entries.indexOf(last)], tanCaster, {
                      ran: true,
                      changed: null,
                  })
                : links[i]!;
        const missing = reasonOf(run, link);
        const ready = missing === null;
        const [from, to] = i === null ? [first.state, last.state] : [forward[i]!, backward[i + 1]!];
        const plate = plates[entries.indexOf(first)]!;
        const next = chain.next(run, backward);
        const judged = ready
            ? judge(
                  expectedAfter(i === null ? from : chain.leaving(from, i), to.reader, link, readers.step),
                  next === null ? to : last.state,
                  next,
                  { putRight: (1 - odds.gap) * share, moved: odds.gap },
                  plate,
                  tanCaster,
              )
            : null;
        const [moved, held] = [judged?.moved, judged?.held].map((known) =>
            known === undefined ? null : changesOf(known),
        );
        const asRead = (angle: string) =>
            ready && before[angle] !== null && after[angle] !== null
                ? Math.round(1e6 * ((after[angle] as number) - (before[angle] as number))) / 1e6
                : null;
        const pointer = ready && !isTouched(before, after) ? pointerChange(before, after) : null;
        const height =
            ready && before.height_mm !== null && after.height_mm !== null
                ? (after.height_mm as number) - (before.height_mm as number)
                : null;
        const end = (mark: Value) =>
            mark === null || before.mark_1 === null
                ? null
                : ((mark as number) - (before.mark_1 as number)) * (before.pitch_mm as number);
        return {
            chassis: after.chassis!,
            vehicle: after.vehicle!,
            corner: after.corner!,
            visit: run.visit,
            session:
                (run.visit === before.visit ? before.session : after.session) ?? run.sessions.at(-1) ?? null,
            sessions: run.sessions.length > 1 || !isSession(after) ? run.sessions.join(', ') : null,
            after_visit: later === undefined || after.visit === run.visit ? null : after.visit!,
            measured_ts: after.measured_ts!,
            ordered_ts: after.ordered_ts!,
            kit: before.kit!,
            plate_hand: before.plate_hand!,
            plate_index: before.plate_index!,
            mark_1: before.mark_1!,
            mark_2: before.mark_2!,
            pitch_mm: before.pitch_mm!,
            freedom: plate?.freedom ?? 'none',
            slot_out: plate?.slot?.[0] ?? null,
            slot_aft: plate?.slot?.[1] ?? null,
            low_mm: end(before.mark_min!),
            high_mm: end(before.mark_max!),
            pointer_out_mm: pointer?.[0] ?? null,
            pointer_aft_mm: pointer?.[1] ?? null,
            // A fifth of a millimetre: what a pointer hides of its plate.
            pointer_var_mm2: pointer === null ? null : pointerVariance(before, after) + 0.04,
            height_mm: height,
            height_var_mm2: height === null ? null : HEIGHT_VARIANCE,
            tan_caster: tan,
            equal_toe: moved?.equalToe ?? false,
            camber_read_deg: asRead('camber_deg'),
            caster_read_deg: asRead('caster_deg'),
            sai_read_deg: asRead('sai_deg'),
            toe_read_deg: link.toeReset ? null : asRead('toe_deg'),
            ...columnsOf(moved!, ''),
            ...columnsOf(held!, '_held'),
            held_log: judged?.heldLog ?? 0,
            missing:
                missing ??
                (moved?.changes.read.length === 0 ? 'no angle was read both before and after' : null),
        };
    });
}

/** States of a corner; runs, and what was changed, by the place of the state before which it was; and how many of the car's runs are among them. */
interface Corner {
    rows: Cells[];
    ran: Map<number, string[]>;
    changed: Map<number, string>;
    seen: number;
}

/** The chains of the corners of each vehicle. */
async function* chainsOf(
    batches: AsyncIterable<Batch>,
    chassis: ReadonlyMap<string, Chassis>,
    readers: Readers,
): AsyncIterable<Chain> {
    for await (const group of groupsBy(batches, 'vehicle')) {
        const corners = new Map<string, Corner>();
        const names: string[] = [];
        for (const row of group.rows()) {
            if (row.phase === 'ran') {
                names.push(row.session as string);
                continue;
            }
            if (row.phase === 'changed') {
                for (const [name, { rows, changed }] of corners)
                    if (row.corner === null || row.corner === name)
                        changed.set(rows.length, `${row.what} changed on ${row.day}`);
                continue;
            }
            const corner = row.corner as string;
            const own: Corner = corners.get(corner) ?? {
                rows: [],
                ran: new Map(),
                changed: new Map(),
                seen: 0,
            };
            corners.set(corner, own);
            if (names.length > own.seen && own.rows.length > 0)
                own.ran.set(own.rows.length, names.slice(own.seen));
            own.seen = names.length;
            own.rows.push(row);
        }
        for (const { rows, ran, changed } of corners.values())
            yield new Chain(rows, ran, changed, chassis, readers);
    }
}

/**
 * Share of what moves over a session that is put right without a record before the next reading: expectation and maximisation over all
 * sessions that another reading follows, from half, which counts as four.
 */
async function putRightShare(chains: AsyncIterable<Chain>, readers: Readers): Promise<number> {
    const found: { moved: number; log: number }[] = [];
    for await (const chain of chains) {
        const states = chain.entries.map(({ state }) => state);
        for (const run of chain.runs) {
            const next = chain.next(run, states);
            const plate = chain.plates[run.link!] ?? null;
            if (next === null || plate === null) continue;
            const moved = chain.moved(run);
            if (moved < 0.01) continue;
            const [i, link] = [run.link!, chain.links[run.link!]!];
            const before = expectedAfter(states[i]!, states[i + 1]!.reader, link, readers.step);
            found.push({ moved, log: logPutRight(before, states[i + 1]!, next, plate, chain.tan ?? 0) });
        }
    }
    const count = found.reduce((sum, { moved }) => sum + moved, 0);
    let share = 0.5;
    for (let step = 0; step < 50; step++) {
        const against = (1 - share) / share;
        const expected = found.reduce(
            (sum, { moved, log }) => sum + moved / (1 + against * Math.exp(-log)),
            0,
        );
        share = (expected + 2) / (count + 4);
    }
    return share;
}

/** Corners over sessions, of the states of cars in time order and the runs between them. */
export const sessionChanges: TableFunction = async function* (batches, whole) {
    const readers = new Readers(whole);
    const chassis = chassisByName(whole.sensitivities!);
    const share = await putRightShare(chainsOf(batches, chassis, readers), readers);
    for await (const chain of chainsOf(batches, chassis, readers)) yield* rowsOfCorner(chain, readers, share);
};
