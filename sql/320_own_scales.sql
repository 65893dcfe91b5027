-- title: Robust scale of the residuals, by itself
-- grain: one row per chassis and response
-- source: slope_moves, slope_priors
-- missing: none
-- computed by: src/stats/tables
-- S-estimate (bisquare, 50 % breakdown, sum of rho over n - 2 equal to 1/2) by iterated reweighting from the best
-- of three deterministic starts: least squares; medians of change/move by the axis that dominates a move, alternated; the geometric prior.
-- column chassis VARCHAR: platform code
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column slope_out DOUBLE [deg/mm]: slope of the S-estimate, outboard
-- column slope_aft DOUBLE [deg/mm]: slope of the S-estimate, rearward
-- column scale_deg DOUBLE [deg]: S-estimate of scale of one move with weight 1
-- column move_count BIGINT: moves, less the constants of changes of kit
select
    chassis,
    response,
    move_out_mm,
    move_aft_mm,
    change_deg,
    weight,
    kit_change,
    prior_out,
    prior_aft
from slope_moves
inner join (
    select
        response,
        max(mean_deg_per_mm) filter (where axis = 'out') as prior_out,
        max(mean_deg_per_mm) filter (where axis = 'aft') as prior_aft
    from slope_priors
    group by response
) as priors using (response)
order by chassis, response, move_out_mm, move_aft_mm, change_deg, weight, kit_change
