import { withoutSteps } from '../slopes/gaugeSteps.js';
import type { KitChanges } from '../slopes/kitConstants.js';
import type { Moves } from '../slopes/plane.js';
import type { Group } from './batch.js';

/** Fewer moves with one change of kit tell of no slope beside its constant worth the trouble. */
const FEWEST = 4;

/** The change of kit of each move, and who read it where two gauges did: what shares one constant; null = one kit. */
function kitChangesOf(group: Group): (string | null)[] {
    const names = group.values('kit_change') as (string | null)[];
    if (names.every((name) => name === null)) return names;
    const [from, to] = [group.values('from_reader'), group.values('to_reader')];
    return names.map((name, row) => (name === null ? null : `${name} ${from[row] ?? ''} ${to[row] ?? ''}`));
}

/** The group without changes of kit that are too few; null where nothing is left. */
export function tellingMoves(group: Group): Group | null {
    const names = kitChangesOf(group);
    if (names.every((name) => name === null)) return group;
    const counts = new Map<string | null, number>();
    for (const name of names) counts.set(name, (counts.get(name) ?? 0) + 1);
    const rows = names.flatMap((name, row) => (name === null || counts.get(name)! >= FEWEST ? [row] : []));
    return rows.length === 0 ? null : group.only(rows);
}

/** The changes of kit among the rows, numbered as they come; undefined: none. */
function kitsOf(names: readonly (string | null)[]): KitChanges | undefined {
    if (names.every((name) => name === null)) return undefined;
    const numbers = new Map<string, number>();
    const of = Int32Array.from(names, (name) => {
        if (name === null) return -1;
        if (!numbers.has(name)) numbers.set(name, numbers.size);
        return numbers.get(name)!;
    });
    return { of, count: numbers.size };
}

/** The moves of a group of rows, the steps between gauges taken out; a step within a change of kit is part of its constant. */
export function movesOf(group: Group): Moves {
    const kitChanges = kitChangesOf(group);
    const moves: Moves = {
        out: group.numbers('move_out_mm'),
        aft: group.numbers('move_aft_mm'),
        change: group.numbers('change_deg'),
        weight: group.numbers('weight'),
        kits: kitsOf(kitChanges),
    };
    const from = (group.values('from_reader') as (number | null)[]).map((reader, row) =>
        kitChanges[row] === null ? reader : null,
    );
    if (from.every((reader) => reader === null)) return moves;
    return withoutSteps(
        moves,
        { from, to: group.values('to_reader') as (number | null)[] },
        { out: group.number('prior_out'), aft: group.number('prior_aft') },
        group.number('step_var'),
        group.number('noise_var'),
    );
}
