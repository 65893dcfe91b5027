import { withoutSteps } from '../slopes/gaugeSteps.js';
import type { Moves } from '../slopes/plane.js';
import type { Group } from './batch.js';

/** The moves of a group of rows, the steps between gauges taken out. */
export function movesOf(group: Group): Moves {
    const moves = {
        out: group.numbers('move_out_mm'),
        aft: group.numbers('move_aft_mm'),
        change: group.numbers('change_deg'),
        weight: group.numbers('weight'),
    };
    const from = group.values('from_reader') as (number | null)[];
    if (from.every((reader) => reader === null)) return moves;
    return withoutSteps(
        moves,
        { from, to: group.values('to_reader') as (number | null)[] },
        { out: group.number('prior_out'), aft: group.number('prior_aft') },
        group.number('step_var'),
        group.number('noise_var'),
    );
}
