import { EFFICIENCY } from '../slopes/bisquare.js';
import { robustSlopes } from '../slopes/robustSlopes.js';
import { slopeEstimate, type VehicleMoves } from '../slopes/slopeEstimate.js';
import { type Group, groupsBy, type TableFunction } from './batch.js';
import { movesOf, tellingMoves } from './movesOf.js';
import { nameOf, slopeScales } from './slopeScales.js';

/** The moves of a group, their vehicles numbered as they come. */
function vehicleMovesOf(group: Group): VehicleMoves {
    const numbers = new Map<unknown, number>();
    const vehicle = Int32Array.from(
        group.values('vehicle').map((name) => {
            if (!numbers.has(name)) numbers.set(name, numbers.size);
            return numbers.get(name)!;
        }),
    );
    return {
        ...movesOf(group),
        vehicle,
        vehicleCount: numbers.size,
        errorOo: group.numbers('read_error_oo_mm2'),
        errorOa: group.numbers('read_error_oa_mm2'),
        errorAa: group.numbers('read_error_aa_mm2'),
        midOut: group.numbers('mid_out_mm'),
        midAft: group.numbers('mid_aft_mm'),
    };
}

/** Columns that the scales are made from. */
const scaled = [
    'chassis',
    'response',
    'move_out_mm',
    'move_aft_mm',
    'change_deg',
    'weight',
    'kit_change',
    'from_reader',
    'to_reader',
    'prior_out',
    'prior_aft',
    'noise_var',
    'step_var',
];

/** MM-estimates of each chassis and angle with their cluster-robust errors; a typical scale wants the moves of all first. */
export const slopeEstimates: TableFunction = async function* (batches) {
    const scales = await slopeScales(batches.only!(scaled));
    for await (const all of groupsBy(batches, 'chassis', 'response')) {
        const group = tellingMoves(all);
        if (group === null) continue;
        const moves = vehicleMovesOf(group);
        const { slopes: start, move_count, ...scale } = scales.get(nameOf(group))!;
        const { slopes: fitted } = robustSlopes(moves, start, scale.scale_deg);
        const end = scale.scale_deg * EFFICIENCY;
        const found = slopeEstimate(moves, fitted, scale.scale_deg, end);
        const isCamber = group.key.response === 'camber_deg';
        const toes = isCamber ? group.values('equal_toe') : [];
        yield {
            ...group.key,
            ...scale,
            scaled_move_count: move_count,
            end_deg: end,
            fit_out: fitted.out,
            fit_aft: fitted.aft,
            rank: found.rank,
            slope_out: found.slope.out,
            slope_aft: found.slope.aft,
            var_out: found.variance.oo,
            var_aft: found.variance.aa,
            cov_out_aft: found.variance.oa,
            df_out: found.df.out,
            df_aft: found.df.aft,
            xx_oo: found.xx.oo,
            xx_oa: found.xx.oa,
            xx_aa: found.xx.aa,
            xy_o: found.xy.out,
            xy_a: found.xy.aft,
            noise_var_deg2: found.noiseVariance,
            reliability_out: found.reliability.out,
            reliability_aft: found.reliability.aft,
            corrected: found.corrected,
            move_count: moves.out.length,
            move_out_count: found.movedCount.out,
            move_aft_count: found.movedCount.aft,
            vehicle_count: moves.vehicleCount,
            vehicle_out_count: found.movedVehicleCount.out,
            vehicle_aft_count: found.movedVehicleCount.aft,
            downweighted_count: found.downweightedCount,
            install_count: moves.kits?.of.reduce((sum, kit) => sum + (kit < 0 ? 0 : 1), 0) ?? 0,
            unequal_toe_count: toes.filter((toe) => toe === 'unknown' || toe === 'no caster').length,
            no_caster_count: toes.filter((toe) => toe === 'no caster').length,
            mid_out_mm: found.mid.out,
            mid_aft_mm: found.mid.aft,
        };
    }
};
