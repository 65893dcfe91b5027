import type { Moves } from '../slopes/plane.js';
import type { Group } from './batch.js';

/** The moves of a group of rows. */
export function movesOf(group: Group): Moves {
    return {
        out: group.numbers('move_out_mm'),
        aft: group.numbers('move_aft_mm'),
        change: group.numbers('change_deg'),
        weight: group.numbers('weight'),
    };
}
