-- title: Robust scale of the residuals, with what a fit of moves expects beforehand
-- grain: one row per chassis and response
-- source: slope_moves, slope_priors, gauge_priors
-- missing: none
-- computed by: src/stats/tables
-- S-estimate (bisquare, 50 % breakdown, sum of rho over n - 2 equal to 1/2) by iterated reweighting from the best
-- of three deterministic starts: least squares; medians of change/move by the axis that dominates a move, alternated; the geometric prior.
-- Few moves tell little of a scale: its square is averaged with the typical square of all chassis (5 moves' worth). Where gauges are
-- uneven, the scale of one chassis tells little of another's: with h2 the variance of log scales between chassis, the others are worth
-- 1.1 / h2 moves, for the log of an S-estimate of n moves has variance 1.1 / (n - 2), by simulation of normal errors, n = 4..48. h2 is a
-- mean of squares less that, averaged with 1.1 / 5 at the weight of 10 chassis.
-- A move that was read with one gauge before and another one after holds the step between the two, the same in all such moves of
-- the chassis: a random constant for each two gauges with a standard deviation of 8 times what is expected of a bias, which makes it
-- nearly free, so that a large step biases no slope. Their moves count less the share of their means that such a constant takes
-- (generalised least squares of a random intercept: Pinheiro and Bates 2000, Mixed-Effects Models in S and S-PLUS, 2.2; from memory), moves
-- far off the others (4 robust standard deviations) left out of the means. So do slope_fits and slope_estimates.
-- column chassis VARCHAR: platform code
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column slope_out DOUBLE [deg/mm]: slope of the S-estimate, outboard
-- column slope_aft DOUBLE [deg/mm]: slope of the S-estimate, rearward
-- column own_scale_deg DOUBLE [deg]: S-estimate of scale of one move with weight 1
-- column typical_scale_deg DOUBLE [deg]: the same, median over chassis with more than 8 moves, or sqrt(2) times the prior noise of a reading; as far as gauges are uneven, weighted geometric mean of all
-- column typical_worth DOUBLE: moves that the typical scale is worth, at most 5
-- column scale_deg DOUBLE [deg]: the one that the fit uses
-- column move_count BIGINT: moves, less the constants of changes of kit
-- column prior_out DOUBLE [deg/mm]: prior mean of the slope, outboard
-- column prior_aft DOUBLE [deg/mm]: prior mean of the slope, rearward
-- column noise_var DOUBLE [deg2]: prior variance of the change of a move with weight 1
-- column step_var DOUBLE [deg2]: prior variance of a step between two gauges
with
priors as (
    select
        response,
        max(mean_deg_per_mm) filter (where axis = 'out') as prior_out,
        max(mean_deg_per_mm) filter (where axis = 'aft') as prior_aft,
        2 * power(any_value(noise_sd_deg), 2) as noise_var,
        power(8 * any_value(bias_sd_deg), 2) as step_var
    from slope_priors
    inner join gauge_priors using (response)
    group by response
)
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
inner join priors using (response)
order by chassis, response, move_out_mm, move_aft_mm, change_deg, weight, from_reader, to_reader, kit_change
