import {
    beliefAfter,
    changesOf,
    type Judged,
    judge,
    type Link,
    logPutRight,
    partOf,
    sure,
} from '../drift/chain.js';
import { type Chassis, chassisByName } from '../drift/chassis.js';
import {
    type Cells,
    CornerChain,
    isSession,
    isTouched,
    linkBetween,
    odds,
    pointerChange,
    pointerVariance,
    type Run,
} from '../drift/cornerChain.js';
import type { Changes } from '../drift/gaussian.js';
import { angles, Readers } from '../drift/readers.js';
import { type Batch, groupsBy, type TableFunction, type Value } from './batch.js';

/** Variance of the difference of two ride heights, each read to 3 mm where the car settles (common practice, no source), mm2. */
const HEIGHT_VARIANCE = 18;

function reasonOf({ earlier, later, missing }: Run, link: Link): string | null {
    if (missing !== null || earlier === undefined || later === undefined) return missing;
    return link.broken;
}

/** Changes as columns: values and variances of camber, caster, SAI and toe, NULL where nothing tells. */
function columnsOf(known: { changes: Changes } | null): Record<string, Value> {
    const cells: Record<string, Value> = {};
    for (const [place, angle] of angles.entries()) {
        const read = known?.changes.read.includes(place) ?? false;
        cells[angle] = read ? known!.changes.values[place]! : null;
        cells[angle.replace('_deg', '_var_deg2')] = read ? known!.changes.variances[place]! : null;
    }
    return cells;
}

/** The mixture as one list: of each part its weight, four changes and their variances; null where it has one part only. */
function partsOf({ moved, mean }: Judged): number[] | null {
    if (moved.length === 1) return null;
    const { changes, equalToe } = changesOf(mean);
    return moved.flatMap(({ weight, known }) => {
        const { values, variances } = partOf(known, changes, equalToe);
        return [weight, ...values.slice(0, angles.length), ...variances.slice(0, angles.length)];
    });
}

function rowsOfCorner(chain: CornerChain, readers: Readers, share: number): Record<string, Value>[] {
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
        const [from, to] =
            i === null
                ? [sure(first.state), sure(last.state)]
                : [chain.leaving(forward[i]!, i), backward[i + 1]!];
        const plate = plates[entries.indexOf(first)]!;
        const next = chain.next(run, backward);
        const judged = ready
            ? judge(
                  beliefAfter(from, first.state.reader, last.state.reader, link, 1, readers.step),
                  next === null ? to : sure(last.state),
                  next,
                  { putRight: (1 - odds.gap) * share, moved: odds.gap },
                  plate,
                  tanCaster,
              )
            : null;
        const moved = judged === null ? null : changesOf(judged.mean);
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
            ...columnsOf(moved),
            parts: judged === null ? null : partsOf(judged),
            held_log: judged?.heldLog ?? null,
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
): AsyncIterable<CornerChain> {
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
            yield new CornerChain(rows, ran, changed, chassis, readers);
    }
}

/**
 * Share of what moves over a session that is put right without a record before the next reading: expectation and maximisation over all
 * sessions that another reading follows, from half, which counts as four.
 */
async function putRightShare(chains: AsyncIterable<CornerChain>, readers: Readers): Promise<number> {
    const found: { moved: number; log: number }[] = [];
    for await (const chain of chains) {
        const states = chain.entries.map(({ state }) => sure(state));
        for (const run of chain.runs) {
            const next = chain.next(run, states);
            const plate = chain.plates[run.link!] ?? null;
            if (next === null || plate === null) continue;
            const moved = chain.moved(run);
            if (moved < 0.01) continue;
            const [i, link] = [run.link!, chain.links[run.link!]!];
            const [earlier, later] = [chain.entries[i]!.state, chain.entries[i + 1]!.state];
            const before = beliefAfter(states[i]!, earlier.reader, later.reader, link, 1, readers.step);
            const log = logPutRight(before[0]!.known, later, next[0]!.known, plate, chain.tan ?? 0);
            found.push({ moved, log });
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
