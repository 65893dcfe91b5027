-- title: What a fit of moves expects beforehand
-- grain: one row per angle
-- source: slope_priors, gauge_priors
-- kept: as a view
-- missing: none
-- A step between two gauges has a standard deviation of 8 times what is expected of a bias, which makes its constant nearly free.
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column prior_out DOUBLE [deg/mm]: prior mean of the slope, outboard
-- column prior_aft DOUBLE [deg/mm]: prior mean of the slope, rearward
-- column noise_var DOUBLE [deg2]: prior variance of the change of a move with weight 1
-- column step_var DOUBLE [deg2]: prior variance of a step between two gauges
select
    response,
    max(mean_deg_per_mm) filter (where axis = 'out') as prior_out,
    max(mean_deg_per_mm) filter (where axis = 'aft') as prior_aft,
    2 * power(any_value(noise_sd_deg), 2) as noise_var,
    power(8 * any_value(bias_sd_deg), 2) as step_var
from slope_priors
inner join gauge_priors using (response)
group by response
