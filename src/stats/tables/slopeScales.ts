import { median } from '../slopes/median.js';
import type { Pair } from '../slopes/plane.js';
import { scaleEstimate } from '../slopes/robustSlopes.js';
import { startingSlopes } from '../slopes/startingSlopes.js';
import { type Batch, type Group, groupsBy } from './batch.js';
import { movesOf, tellingMoves } from './movesOf.js';

/** Instruments show hundredths: a scale below what rounding alone makes (0.01 / sqrt(12), twice) would reject good readings. */
const FINEST = 0.01 / Math.sqrt(6);

/** Moves that the typical scale is worth where gauges are even. */
const MOST_WORTH = 5;

/** Variance of the log of an S-estimate, times its moves less two. */
const LOG_VARIANCE = 1.1;

interface OwnScale {
    own_scale_deg: number;
    move_count: number;
}

const sum = (values: readonly number[]) => values.reduce((total, value) => total + value, 0);
const logScale = (scale: number) => Math.log(Math.max(scale, FINEST));

/** The scale of a chassis like these, and how many moves it is worth. `prior`: without any that has moves enough. */
function typicalScale(own: readonly OwnScale[], prior: number): { scale: number; worth: number } {
    const told = own.filter(({ move_count }) => move_count > 8);
    const middle = median(Float64Array.from(told, ({ own_scale_deg }) => own_scale_deg)) ?? prior;
    const logs = own
        .filter(({ move_count }) => move_count >= 4)
        .map(({ own_scale_deg, move_count }) => ({
            log: logScale(own_scale_deg),
            variance: LOG_VARIANCE / (move_count - 2),
        }));
    if (logs.length === 0) return { scale: middle, worth: MOST_WORTH };
    // One odd chassis counts as off by a factor of 7.4.
    const squares = logs.map(({ log, variance }) => Math.min((log - logScale(middle)) ** 2, 4) - variance);
    const usual = LOG_VARIANCE / MOST_WORTH;
    const between = Math.max((10 * usual + sum(squares)) / (10 + logs.length), usual);
    const weights = logs.map(({ variance }) => 1 / (variance + between));
    const mean = sum(logs.map(({ log }, i) => log * weights[i]!)) / sum(weights);
    const worth = LOG_VARIANCE / between;
    const share = worth / MOST_WORTH;
    return { scale: Math.exp(share * Math.log(middle) + (1 - share) * mean), worth };
}

/** S-estimate of the slopes of one chassis and angle, and the scale that its fit uses. */
export interface SlopeScale {
    slopes: Pair;
    own_scale_deg: number;
    typical_scale_deg: number;
    scale_deg: number;
    move_count: number;
}

/** Name of a chassis and angle. */
export const nameOf = (group: Group) => `${group.key.response} ${group.key.chassis}`;

/** S-estimates of the moves of each chassis and angle, averaged with what is typical, by {@link nameOf}. */
export async function slopeScales(batches: AsyncIterable<Batch>): Promise<Map<string, SlopeScale>> {
    const found = [];
    for await (const all of groupsBy(batches, 'chassis', 'response')) {
        const group = tellingMoves(all);
        if (group === null) continue;
        const moves = movesOf(group);
        const prior = { out: group.number('prior_out'), aft: group.number('prior_aft') };
        const { slopes, scale } = scaleEstimate(moves, startingSlopes(moves, prior));
        found.push({
            name: nameOf(group),
            response: group.key.response,
            slopes,
            own_scale_deg: scale,
            move_count: moves.out.length - (moves.kits?.count ?? 0),
            noiseVariance: group.number('noise_var'),
        });
    }
    const scales = new Map<string, SlopeScale>();
    for (const response of new Set(found.map((one) => one.response))) {
        const ofAngle = found.filter((one) => one.response === response);
        const typical = typicalScale(ofAngle, Math.sqrt(ofAngle[0]!.noiseVariance));
        for (const { name, slopes, own_scale_deg, move_count } of ofAngle) {
            const ownWorth = Math.max(move_count - 2 - (2 * typical.worth) / MOST_WORTH, 0);
            const square =
                (ownWorth * own_scale_deg * own_scale_deg + typical.worth * typical.scale * typical.scale) /
                (ownWorth + typical.worth);
            scales.set(name, {
                slopes,
                own_scale_deg,
                typical_scale_deg: typical.scale,
                scale_deg: Math.max(Math.sqrt(square), FINEST),
                move_count,
            });
        }
    }
    return scales;
}
