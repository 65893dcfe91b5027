import { scaleEstimate } from '../slopes/robustSlopes.js';
import { startingSlopes } from '../slopes/startingSlopes.js';
import { groupsBy, type TableFunction } from './batch.js';
import { movesOf, tellingMoves } from './movesOf.js';

/** S-estimates of the moves of each chassis and angle. */
export const ownScales: TableFunction = async function* (batches) {
    for await (const all of groupsBy(batches, 'chassis', 'response')) {
        const group = tellingMoves(all);
        if (group === null) continue;
        const moves = movesOf(group);
        const prior = { out: group.number('prior_out'), aft: group.number('prior_aft') };
        const { slopes, scale } = scaleEstimate(moves, startingSlopes(moves, prior));
        yield {
            ...group.key,
            slope_out: slopes.out,
            slope_aft: slopes.aft,
            scale_deg: scale,
            move_count: moves.out.length - (moves.kits?.count ?? 0),
        };
    }
};
