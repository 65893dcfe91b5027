import type { KitChanges } from '../slopes/kitConstants.js';
import type { Moves } from '../slopes/plane.js';
import type { Group } from './batch.js';

/** Fewer moves with one change of kit tell of no slope beside its constant worth the trouble. */
const FEWEST = 4;

/** The group without changes of kit that are too few; null where nothing is left. */
export function tellingMoves(group: Group): Group | null {
    const names = group.values('kit_change');
    if (names.every((name) => name === null)) return group;
    const counts = new Map<unknown, number>();
    for (const name of names) counts.set(name, (counts.get(name) ?? 0) + 1);
    const rows = names.flatMap((name, row) => (name === null || counts.get(name)! >= FEWEST ? [row] : []));
    return rows.length === 0 ? null : group.only(rows);
}

/** The changes of kit among the rows, numbered as they come; undefined: none. */
function kitsOf(group: Group): KitChanges | undefined {
    const names = group.values('kit_change');
    if (names.every((name) => name === null)) return undefined;
    const numbers = new Map<unknown, number>();
    const of = Int32Array.from(names, (name) => {
        if (name === null) return -1;
        if (!numbers.has(name)) numbers.set(name, numbers.size);
        return numbers.get(name)!;
    });
    return { of, count: numbers.size };
}

/** The moves of a group of rows. */
export function movesOf(group: Group): Moves {
    return {
        kits: kitsOf(group),
        out: group.numbers('move_out_mm'),
        aft: group.numbers('move_aft_mm'),
        change: group.numbers('change_deg'),
        weight: group.numbers('weight'),
    };
}
