-- title: Robust joint fit of the two slopes
-- grain: one row per chassis and response
-- source: slope_moves, slope_scales
-- missing: none; an axis without information keeps 0 here and is NULL in slope_estimates
-- computed by: src/stats/tables
-- MM-estimate: bisquare with 95 % efficiency at the fixed scale, iterated from the S-estimate, no intercept, but a free constant for each
-- change of kit, profiled out (src/stats/slopes/kitConstants.ts), where it has four moves at least.
-- column chassis VARCHAR: platform code
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column slope_out DOUBLE [deg/mm]: slope, outboard
-- column slope_aft DOUBLE [deg/mm]: slope, rearward
-- column scale_deg DOUBLE [deg]: scale of one move with weight 1
-- column end_deg DOUBLE [deg]: residual of a move with weight 1 from which on its robust weight is 0
-- column settled BOOLEAN: the iteration came to rest
-- column step_count INTEGER: iterations
-- column prior_out DOUBLE [deg/mm]: prior mean of the slope, outboard
-- column prior_aft DOUBLE [deg/mm]: prior mean of the slope, rearward
-- column noise_var DOUBLE [deg2]: prior variance of the change of a move with weight 1
-- column step_var DOUBLE [deg2]: prior variance of a step between two gauges
select
    chassis,
    response,
    move_out_mm,
    move_aft_mm,
    change_deg,
    weight,
    kit_change,
    slope_out,
    slope_aft,
    scale_deg,
    from_reader,
    to_reader,
    step_var,
    noise_var,
    prior_out,
    prior_aft
from slope_moves
inner join slope_scales using (chassis, response)
order by chassis, response, move_out_mm, move_aft_mm, change_deg, weight, from_reader, to_reader, kit_change
