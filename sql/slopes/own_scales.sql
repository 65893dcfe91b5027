-- title: Robust scale of the residuals, by itself
-- grain: one row per chassis and response
-- source: slope_moves, move_priors
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
-- A move that was read with one gauge before and another one after holds the step between the two, the same in all such moves of
-- the chassis: a random constant for each two gauges with a standard deviation of 8 times what is expected of a bias, which makes it
-- nearly free, so that a large step biases no slope. Their moves count less the share of their means that such a constant takes
-- (generalised least squares of a random intercept: Pinheiro and Bates 2000, Mixed-Effects Models in S and S-PLUS, 2.2; from memory), moves
-- far off the others (4 robust standard deviations) left out of the means. So do slope_fits and slope_estimates.
select
    chassis,
    response,
    move_out_mm,
    move_aft_mm,
    change_deg,
    weight,
    kit_change,
    prior_out,
    prior_aft,
    from_reader,
    to_reader,
    step_var,
    noise_var
from slope_moves
inner join move_priors using (response)
order by chassis, response, move_out_mm, move_aft_mm, change_deg, weight, from_reader, to_reader, kit_change
