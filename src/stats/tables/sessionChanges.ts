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

/** A disturbance of a corner. */
interface Judged {
    run: Run;
    before: StateRow;
    after: StateRow;
    /** The one of the two whose plate counts. */
    own: StateRow;
    toeReset: boolean;
    plate: Plate | null;
    tan: number | null;
    /** Null where it cannot be compared. */
    told: Told | null;
    /** The same of a front, and what it says. */
    whole: Front | null;
    front: JudgedFront | null;
    putRight: number | null;
    /** Why it cannot be compared, whatever was read. */
    missing: string | null;
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
    const { row: own, place } = run.disturbance === 'adjustment' ? last : first;
    const plate = plates[place]!;
    const judged = missing === null ? chain.judged(run, first, last, link) : null;
    const told = judged === null ? null : toldOf(judged, before, after, tan ?? 0);
    const whole = told === null || plate === null || isRear(after) ? null : frontOf(told.found, plate);
    let front: JudgedFront | null = null;
    if (whole !== null) {
        // The same while its plate is, and camber is at equal toe or not.
        const toe = told!.equalToe ? 1 : 0;
        plate!.shown[toe] ??= shownOn(whole);
        front = {
            changes: whole.changes,
            parts: partsOf(judged!, told!),
            heldLog: judged!.heldLog,
            shown: plate!.shown[toe]!,
            afterSet: chain.afterSet(run),
            ends: slotEnds(own, plate!, fleet.scalesOf(own)),
        };
    }
    return {
        run,
        before,
        after,
        own,
        toeReset: link.toeReset,
        plate,
        tan,
        told,
        whole,
        front,
        putRight: run.disturbance === 'session' ? null : chain.putRight(run),
        missing,
    };
}

/** What the corners of a car say together of a front. */
interface Together {
    hasRears: boolean;
    hasOtherFront: boolean;
    none: number | null;
    alone: readonly number[] | null;
    held: readonly number[] | null;
    slips: readonly number[] | null;
}

/** The row of a front. */
function cellsOf(judged: Judged, together: Together, fleet: Fleet): Record<string, Value> {
    const { run, before, after, own, told, whole, plate, missing } = judged;
    const { disturbance, visit, phase, sessions, later } = run;
    const isOfSession = disturbance === 'session';
    const asRead = (angle: number) => {
        const change = after.angles[angle]! - before.angles[angle]!;
        return missing === null && !Number.isNaN(change) ? Math.round(1e6 * change) / 1e6 : null;
    };
    const changes = told?.found.changes;
    const value = (angle: number) => (told?.told.includes(angle) ? changes!.values[angle]! : null);
    const error = (angle: number) =>
        told?.told.includes(angle) ? Math.sqrt(changes!.variances[angle]!) : null;
    const set = disturbance === 'adjustment' ? pointerChange(before, after) : null;
    const slip = whole === null ? noSlip : slipCells(whole, own.plate_hand, fleet.scalesOf(own)?.pitch_mm);
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
        kit: own.kit,
        plate_hand: own.plate_hand,
        plate_index: own.plate_index,
        set_out_mm: set?.[0] ?? null,
        set_aft_mm: set?.[1] ?? null,
        p_put_right: judged.putRight,
        freedom: plate?.freedom ?? 'none',
        slot_out: plate?.slot?.[0] ?? null,
        slot_aft: plate?.slot?.[1] ?? null,
        tan_caster: judged.tan,
        equal_toe: told?.equalToe ?? false,
        camber_change_deg: asRead(0),
        camber_equal_toe_deg: told?.equalToe ? value(0) : null,
        caster_change_deg: asRead(1),
        toe_change_deg: judged.toeReset ? null : asRead(3),
        sai_change_deg: asRead(2),
        camber_judged_deg: value(0),
        caster_judged_deg: value(1),
        toe_judged_deg: value(3),
        sai_judged_deg: value(2),
        camber_std_error_deg: error(0),
        caster_std_error_deg: error(1),
        toe_std_error_deg: error(3),
        sai_std_error_deg: error(2),
        slip_out_mm: slip.slip_out_mm,
        slip_out_std_error_mm: slip.slip_out_std_error_mm,
        slip_aft_mm: slip.slip_aft_mm,
        slip_aft_std_error_mm: slip.slip_aft_std_error_mm,
        slip_cov_mm2: slip.slip_cov_mm2,
        mark_1_back: slip.mark_1_back,
        mark_2_back: slip.mark_2_back,
        has_rears: together.hasRears,
        has_other_front: together.hasOtherFront,
        none: together.none,
        alone: together.alone,
        both_held: together.held,
        slips: together.slips,
        missing: missing ?? (told === null ? 'no angle was read both before and after' : null),
    };
}

/** Disturbances of one key lie between the same readings of the corners of a car. */
const keyOf = ({ disturbance, visit, phase }: Run) =>
    `${disturbance === 'session' ? '' : 'at rest '}${phase ?? ''} ${visit}`;

/** The rows of the fronts of a car, with the likelihoods of what may have happened in each session, and where nothing ran but one may have moved. */
function* rowsOfCar(
    chains: readonly CornerChain[],
    fleet: Fleet,
    share: number,
): Iterable<Record<string, Value>[]> {
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
    const hasCamber = ({ told }: Judged) => told?.found.changes.read[0] === 0;
    for (const corners of disturbances.values()) {
        corners.sort((a, b) => (a.after.corner < b.after.corner ? -1 : 1));
        const fronts = corners.filter(({ after }) => !isRear(after));
        const others = corners.filter(({ after }) => isRear(after));
        const judged = fronts.filter(({ front }) => front !== null);
        const likelihoods =
            judged.length === 0
                ? null
                : likelihoodsOf({
                      fronts: judged.map(({ front }) => front!),
                      rears: others.flatMap(({ told }) => (told === null ? [] : [told.found])),
                  });
        const hasRears = others.some(hasCamber);
        yield fronts.map((one) => {
            const hasOtherFront = fronts.some((other) => other !== one && hasCamber(other));
            const j = judged.indexOf(one);
            const found = j === -1 ? null : likelihoods;
            return cellsOf(
                one,
                {
                    hasRears,
                    hasOtherFront,
                    none: found?.none ?? null,
                    alone: found?.alone[j] ?? null,
                    held: found?.held ?? null,
                    slips: found?.slips[j] ?? null,
                },
                fleet,
            );
        });
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
        yield [];
    }
    const share = putRightShare(found);
    for await (const chains of kept ?? chainsOf(batches, fleet)) yield* rowsOfCar(chains, fleet, share);
};
