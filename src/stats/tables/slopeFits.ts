import { EFFICIENCY } from '../slopes/bisquare.js';
import { robustSlopes } from '../slopes/robustSlopes.js';
import { groupsBy, type TableFunction } from './batch.js';
import { movesOf, tellingMoves } from './movesOf.js';

/** MM-estimates of the moves of each chassis and angle. */
export const slopeFits: TableFunction = async function* (batches) {
    for await (const all of groupsBy(batches, 'chassis', 'response')) {
        const group = tellingMoves(all);
        if (group === null) continue;
        const scale = group.number('scale_deg');
        const start = { out: group.number('slope_out'), aft: group.number('slope_aft') };
        const { slopes, settled, stepCount } = robustSlopes(movesOf(group), start, scale);
        yield {
            ...group.key,
            slope_out: slopes.out,
            slope_aft: slopes.aft,
            scale_deg: scale,
            end_deg: scale * EFFICIENCY,
            settled,
            step_count: stepCount,
            prior_out: group.number('prior_out'),
            prior_aft: group.number('prior_aft'),
            noise_var: group.number('noise_var'),
            step_var: group.number('step_var'),
        };
    }
};
