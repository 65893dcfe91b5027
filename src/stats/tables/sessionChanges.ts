import { type Judged as ChainJudged, changesOf, type Link, type Plate, partOf } from '../drift/chain.js';
import type { Ends } from '../drift/components.js';
import type { Corner, Front } from '../drift/corner.js';
import { CornerChain, type Moved } from '../drift/cornerChain.js';
import { Fleet, type Scales } from '../drift/fleet.js';
import type { Changes } from '../drift/gaussian.js';
import { angles } from '../drift/readers.js';
import { linkBetween, type Run } from '../drift/runs.js';
import { type JudgedFront, likelihoodsOf, merged } from '../drift/session.js';
import { shownOn } from '../drift/shown.js';
import { noSlip, slipCells } from '../drift/slip.js';
import {
    isRear,
    isSession,
    isTouched,
    pointerChange,
    pointerVariance,
    type StateRow,
} from '../drift/states.js';
import { type Batch, orNull, type TableFunction, type Value } from './batch.js';

/** Variance of the difference of two ride heights, each read to 3 mm where the car settles (common practice, no source), mm2. */
const HEIGHT_VARIANCE = 18;

function reasonOf({ earlier, later, missing }: Run, link: Link): string | null {
    if (missing !== null || earlier === undefined || later === undefined) return missing;
    return link.broken;
}

/** Puts what was read besides the angles into `changes`. */
function addRead(changes: Changes, place: number, value: number, variance: number): void {
    changes.read.push(place);
    changes.values[place] = value;
    changes.variances[place] = variance;
}

type Cells = Record<string, Value>;

/** A disturbance of a corner: the row of a front, and what it says; null where it cannot be compared. */
interface Judged {
    corner: string;
    cells: Cells | null;
    found: Corner | null;
    front: JudgedFront | null;
}

/** Probability, by the two readings alone and without toe, which is set without a word, from which what lies between two states over which nothing ran is judged by the whole record. */
const LEAST_MOVED = 0.2;

/** Changes of a corner by the whole record, and of which angles it tells. */
interface Told {
    found: Corner;
    /** Places of these angles. */
    told: readonly number[];
    equalToe: boolean;
}

/** Changes of `judged`, with what was read besides the angles; null where no angle was read on both sides. */
function toldOf({ mean }: ChainJudged, before: StateRow, after: StateRow, tanCaster: number): Told | null {
    const { changes, equalToe } = changesOf(mean);
    const told = changes.read.slice();
    if (told.length === 0) return null;
    const pointer = isTouched(before, after) ? null : pointerChange(before, after);
    // A fifth of a millimetre: what a pointer hides of its plate.
    for (const [k, mm] of (pointer ?? []).entries())
        addRead(changes, angles.length + k, mm, pointerVariance(before, after) + 0.04);
    if (before.height_mm !== null && after.height_mm !== null)
        addRead(changes, 6, after.height_mm - before.height_mm, HEIGHT_VARIANCE);
    const [toePart, toeReadPart] = equalToe ? [0, tanCaster] : [tanCaster, 0];
    const side = after.corner.endsWith('L') ? 1 : -1;
    return { found: { side, changes, toePart, toeReadPart }, told, equalToe };
}

const frontOf = (
    { side, changes, toePart, toeReadPart }: Corner,
    { chassis, freedom, slot }: Plate,
): Front => ({ side, changes, toePart, toeReadPart, chassis, freedom, slot });

/** What the changes of a front may have been, where it moved. */
function partsOf({ moved }: ChainJudged, { found: { changes }, told, equalToe }: Told): JudgedFront['parts'] {
    if (moved.length === 1) return [{ weight: 1, changes }];
    const parts = moved.map(({ weight, known }) => ({
        weight,
        changes: partOf(known, changes, told, equalToe),
    }));
    return merged(parts, told);
}

function slotEnds({ mark_1 }: StateRow, { freedom }: Plate, scales: Scales | undefined): Ends | null {
    if (freedom !== 'slot' || mark_1 === null || scales?.mark_min == null || scales.mark_max === null)
        return null;
    return [(scales.mark_min - mark_1) * scales.pitch_mm, (scales.mark_max - mark_1) * scales.pitch_mm];
}

function judgedRun(chain: CornerChain, run: Run, fleet: Fleet): Judged {
    const { links, plates, tan } = chain;
    const { earlier, later, link: i } = run;
    const first = earlier ?? later!;
    const last = later ?? earlier!;
    const before = first.row;
    const after = last.row;
    const link =
        i === null
            ? linkBetween(before, after, fleet.chassis.get(after.chassis), tan ?? 0, true, null)
            : links[i]!;
    const missing = reasonOf(run, link);
    // What was set has to fit the plate as it is left.
    const own = run.disturbance === 'adjustment' ? last : first;
    const plate = plates[own.place]!;
    const { corner } = after;
    const judged = missing === null ? chain.judged(run, first, last, link) : null;
    const all = judged === null ? null : toldOf(judged, before, after, tan ?? 0);
    const found = all?.found ?? null;
    if (isRear(after)) return { corner, found, front: null, cells: null };
    const scales = fleet.scalesOf(own.row);
    const whole = found === null || plate === null ? null : frontOf(found, plate);
    let front: JudgedFront | null = null;
    if (whole !== null) {
        // The same while its plate is, and camber is at equal toe or not.
        const place = all!.equalToe ? 1 : 0;
        plate!.shown[place] ??= shownOn(whole);
        front = {
            changes: whole.changes,
            parts: partsOf(judged!, all!),
            heldLog: judged!.heldLog,
            shown: plate!.shown[place]!,
            afterSet: chain.afterSet(run),
            ends: slotEnds(own.row, plate!, scales),
        };
    }
    const cells = {
        ...cellsOf(run, before, after, link, missing, all),
        ...(whole === null ? noSlip : slipCells(whole, own.row.plate_hand, scales?.pitch_mm)),
        kit: own.row.kit,
        plate_hand: own.row.plate_hand,
        plate_index: own.row.plate_index,
        p_put_right: run.disturbance === 'session' ? null : chain.putRight(run),
        freedom: plate?.freedom ?? 'none',
        slot_out: plate?.slot?.[0] ?? null,
        slot_aft: plate?.slot?.[1] ?? null,
        tan_caster: tan,
    };
    return { corner, found, front, cells };
}

/** The row of a front, but for its plate; without likelihoods so far. */
function cellsOf(
    { disturbance, visit, phase, sessions, later }: Run,
    before: StateRow,
    after: StateRow,
    { toeReset }: Link,
    missing: string | null,
    all: Told | null,
): Cells {
    const isOfSession = disturbance === 'session';
    const asRead = (angle: number) => {
        const change = after.angles[angle]! - before.angles[angle]!;
        return missing === null && !Number.isNaN(change) ? Math.round(1e6 * change) / 1e6 : null;
    };
    const changes = all?.found.changes;
    const value = (angle: number) => (all?.told.includes(angle) ? changes!.values[angle]! : null);
    const error = (angle: number) =>
        all?.told.includes(angle) ? Math.sqrt(changes!.variances[angle]!) : null;
    const set = disturbance === 'adjustment' ? pointerChange(before, after) : null;
    return {
        chassis: after.chassis,
        vehicle: after.vehicle,
        corner: after.corner,
        visit,
        disturbance,
        phase,
        before_visit: before.visit,
        session: isOfSession
            ? ((visit === before.visit ? before.session : after.session) ?? sessions.at(-1) ?? null)
            : null,
        sessions: isOfSession && (sessions.length > 1 || !isSession(after)) ? sessions.join(', ') : null,
        after_visit: later === undefined || after.visit === visit ? null : after.visit,
        measured_ts: after.measured_ts,
        ordered_ts: after.ordered_ts,
        set_out_mm: set?.[0] ?? null,
        set_aft_mm: set?.[1] ?? null,
        equal_toe: all?.equalToe ?? false,
        camber_change_deg: asRead(0),
        camber_equal_toe_deg: all?.equalToe ? value(0) : null,
        caster_change_deg: asRead(1),
        toe_change_deg: toeReset ? null : asRead(3),
        sai_change_deg: asRead(2),
        camber_judged_deg: value(0),
        caster_judged_deg: value(1),
        toe_judged_deg: value(3),
        sai_judged_deg: value(2),
        camber_std_error_deg: error(0),
        caster_std_error_deg: error(1),
        toe_std_error_deg: error(3),
        sai_std_error_deg: error(2),
        has_rears: false,
        has_other_front: false,
        none: null,
        alone: null,
        both_held: null,
        slips: null,
        missing: missing ?? (all === null ? 'no angle was read both before and after' : null),
    };
}

/** Disturbances of one key lie between the same readings of the corners of a car. */
const keyOf = ({ disturbance, visit, phase }: Run) =>
    `${disturbance === 'session' ? '' : 'at rest '}${phase ?? ''} ${visit}`;

/** The rows of the fronts of a car, with the likelihoods of what may have happened in each session, and where nothing ran but one may have moved. */
function* rowsOfCar(chains: readonly CornerChain[], fleet: Fleet, share: number): Iterable<Cells[]> {
    for (const chain of chains) chain.follow(share);
    const doubted = new Set(
        chains.flatMap((chain) =>
            chain.isFront
                ? chain.rests.filter((rest) => chain.mayMoveAtRest(rest, LEAST_MOVED)).map(keyOf)
                : [],
        ),
    );
    const disturbances = new Map<string, Judged[]>();
    for (const chain of chains) {
        for (const run of [...chain.runs, ...chain.rests.filter((rest) => doubted.has(keyOf(rest)))]) {
            const own = disturbances.get(keyOf(run)) ?? [];
            disturbances.set(keyOf(run), own);
            own.push(judgedRun(chain, run, fleet));
        }
    }
    const hasCamber = ({ found }: Judged) => found?.changes.read[0] === 0;
    for (const corners of disturbances.values()) {
        corners.sort((a, b) => (a.corner < b.corner ? -1 : 1));
        const fronts = corners.filter(({ cells }) => cells !== null);
        const judged = fronts.filter(({ front }) => front !== null);
        const rears = corners.flatMap(({ cells, found }) =>
            cells === null && found !== null ? [found] : [],
        );
        const hasRears = corners.some((one) => one.cells === null && hasCamber(one));
        for (const one of fronts) {
            one.cells!.has_rears = hasRears;
            one.cells!.has_other_front = fronts.some((other) => other !== one && hasCamber(other));
        }
        if (judged.length > 0) {
            const { none, alone, held, slips } = likelihoodsOf({
                fronts: judged.map(({ front }) => front!),
                rears,
            });
            for (const [j, { cells }] of judged.entries()) {
                cells!.none = none;
                cells!.alone = alone[j]!;
                cells!.both_held = held;
                cells!.slips = slips[j]!;
            }
        }
        yield fronts.map(({ cells }) => cells!);
    }
}

/** States of a corner; runs, and what was changed, by the place of the state before which it was; and how many of the car's runs are among them. */
interface OwnRecord {
    rows: StateRow[];
    ran: Map<number, string[]>;
    changed: Map<number, string>;
    seen: number;
}

type Columns = Record<string, ArrayLike<unknown>>;

function stateAt(c: Columns, i: number): StateRow {
    return {
        chassis: c.chassis![i] as string,
        vehicle: c.vehicle![i] as string,
        corner: c.corner![i] as string,
        visit: c.visit![i] as string,
        visit_kind: c.visit_kind![i] as string,
        phase: c.phase![i] as string,
        session: c.session![i] as string | null,
        measured_ts: c.measured_ts![i] as number,
        ordered_ts: c.ordered_ts![i] as number,
        kit: c.kit![i] as string | null,
        plate_hand: c.plate_hand![i] as string | null,
        plate_index: orNull(c.plate_index![i]) as number | null,
        mark_1: orNull(c.mark_1![i]) as number | null,
        offset_out_mm: orNull(c.offset_out_mm![i]) as number | null,
        offset_aft_mm: orNull(c.offset_aft_mm![i]) as number | null,
        pointer_var_mm2: orNull(c.pointer_var_mm2![i]) as number | null,
        angles: [c.camber_deg![i], c.caster_deg![i], c.sai_deg![i], c.toe_deg![i]] as number[],
        counts: [c.camber_count![i], c.caster_count![i], c.sai_count![i], c.toe_count![i]] as number[],
        toe_reset: c.toe_reset![i] as boolean | null,
        height_mm: orNull(c.height_mm![i]) as number | null,
        reader: c.reader![i] as number,
    };
}

/** The chains of the corners of each vehicle. */
async function* chainsOf(batches: AsyncIterable<Batch>, fleet: Fleet): AsyncIterable<CornerChain[]> {
    const corners = new Map<string, OwnRecord>();
    const names: string[] = [];
    let vehicle: string | null = null;
    const chains = () =>
        [...corners.values()]
            .filter(({ rows, ran }) => ran.size > 0 || rows.some(isSession))
            .map(({ rows, ran, changed }) => new CornerChain(rows, ran, changed, fleet));
    for await (const batch of batches) {
        const columns: Columns = Object.fromEntries(
            batch.names.map((name, place) => [name, batch.columns[place]!]),
        );
        const texts = columns as Record<string, ArrayLike<string>>;
        for (let i = 0; i < texts.vehicle!.length; i++) {
            if (texts.vehicle![i] !== vehicle) {
                if (corners.size > 0) yield chains();
                corners.clear();
                names.length = 0;
                vehicle = texts.vehicle![i]!;
            }
            const phase = texts.phase![i]!;
            const corner = texts.corner![i]!;
            if (phase === 'ran') names.push(texts.session![i]!);
            else if (phase === 'changed') {
                for (const [name, { rows, changed }] of corners)
                    if (corner === null || corner === name)
                        changed.set(rows.length, `${texts.what![i]} changed on ${texts.day![i]}`);
            } else {
                const own: OwnRecord = corners.get(corner) ?? {
                    rows: [],
                    ran: new Map(),
                    changed: new Map(),
                    seen: 0,
                };
                corners.set(corner, own);
                if (names.length > own.seen && own.rows.length > 0)
                    own.ran.set(own.rows.length, names.slice(own.seen));
                own.seen = names.length;
                own.rows.push(stateAt(columns, i));
            }
        }
    }
    if (corners.size > 0) yield chains();
}

/** Share of what moves over a session that is put right without a record before the next reading: expectation and maximisation, from half, which counts as four. */
function putRightShare(found: readonly Moved[]): number {
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

/** States of which the chains are kept between two looks at them; where there are more, they are made again. */
const MOST_KEPT = 5000;
/** Moves that are asked whether they were put right: the share of them is then known to 0.005. */
const MOST_ASKED = 10_000;

/** Fronts over sessions, of the states of cars in time order and the runs between them. */
export const sessionChanges: TableFunction = async function* (batches, whole) {
    const fleet = new Fleet(whole);
    const found: Moved[] = [];
    let kept: CornerChain[][] | null = [];
    let count = 0;
    for await (const chains of chainsOf(batches, fleet)) {
        for (const chain of chains) {
            found.push(...chain.movedRuns());
            count += chain.entries.length;
        }
        if (count > MOST_KEPT) kept = null;
        if (found.length > MOST_ASKED) break;
        kept?.push(chains);
    }
    const share = putRightShare(found);
    for await (const chains of kept ?? chainsOf(batches, fleet)) yield* rowsOfCar(chains, fleet, share);
};
