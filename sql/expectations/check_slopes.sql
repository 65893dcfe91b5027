-- title: Slopes of a vehicle as the other vehicles tell them
-- grain: one row per chassis and vehicle
-- source: readings, moves of the chassis' other vehicles, slope_estimates, slope_priors, sensitivities
-- missing: none; without other vehicles it is the geometric prior
-- A vehicle must not vouch for itself: its own moves are left out. Normal posterior of the pair (out, aft) from the prior of
-- slope_priors and the others' weighted moves with the chassis' scale.
-- column chassis VARCHAR: platform code
-- column vehicle VARCHAR: one car
-- column camber_slope_out DOUBLE [deg/mm]: what one millimetre outboard does to camber
-- column camber_slope_aft DOUBLE [deg/mm]: what one millimetre rearward does to camber
-- column camber_var_out DOUBLE [deg2/mm2]: its variance outboard, with that of a corner about its chassis
-- column camber_var_aft DOUBLE [deg2/mm2]: its variance rearward, with that of a corner about its chassis
-- column camber_cov_out_aft DOUBLE [deg2/mm2]: their covariance
-- column caster_slope_out DOUBLE [deg/mm]: what one millimetre outboard does to caster
-- column caster_slope_aft DOUBLE [deg/mm]: what one millimetre rearward does to caster
-- column caster_var_out DOUBLE [deg2/mm2]: its variance outboard, with that of a corner about its chassis
-- column caster_var_aft DOUBLE [deg2/mm2]: its variance rearward, with that of a corner about its chassis
-- column caster_cov_out_aft DOUBLE [deg2/mm2]: their covariance
-- column toe_slope_out DOUBLE [deg/mm]: what one millimetre outboard does to toe
-- column toe_slope_aft DOUBLE [deg/mm]: what one millimetre rearward does to toe
-- column toe_var_out DOUBLE [deg2/mm2]: its variance outboard, with that of a corner about its chassis
-- column toe_var_aft DOUBLE [deg2/mm2]: its variance rearward, with that of a corner about its chassis
-- column toe_cov_out_aft DOUBLE [deg2/mm2]: their covariance
-- column sai_slope_out DOUBLE [deg/mm]: what one millimetre outboard does to SAI
-- column sai_slope_aft DOUBLE [deg/mm]: what one millimetre rearward does to SAI
-- column sai_var_out DOUBLE [deg2/mm2]: its variance outboard, with that of a corner about its chassis
-- column sai_var_aft DOUBLE [deg2/mm2]: its variance rearward, with that of a corner about its chassis
-- column sai_cov_out_aft DOUBLE [deg2/mm2]: their covariance
with
vehicles as (
    select distinct chassis, vehicle from readings
),
weighted as (
    select
        moves.*,
        (change_deg - fit_out * move_out_mm - fit_aft * move_aft_mm) / end_deg as u,
        weight * bisquare_weight(weight * u * u) as w
    from moves
    inner join slope_estimates using (chassis, response)
    -- A step between two gauges is no part of a slope.
    where from_reader is null
),
sums as (
    select
        chassis,
        response,
        vehicle,
        grid_sum(w * move_out_mm * move_out_mm) as xx_oo,
        grid_sum(w * move_out_mm * move_aft_mm) as xx_oa,
        grid_sum(w * move_aft_mm * move_aft_mm) as xx_aa,
        grid_sum(w * move_out_mm * change_deg) as xy_o,
        grid_sum(w * move_aft_mm * change_deg) as xy_a
    from weighted
    group by chassis, response, vehicle
),
priors as (
    select
        response,
        max(mean_deg_per_mm) filter (where axis = 'out') as mean_out,
        max(mean_deg_per_mm) filter (where axis = 'aft') as mean_aft,
        1 / power(max(sd_deg_per_mm) filter (where axis = 'out'), 2) as precision_out,
        1 / power(max(sd_deg_per_mm) filter (where axis = 'aft'), 2) as precision_aft
    from slope_priors
    group by response
),
totals as (
    select
        chassis,
        response,
        exact_sum(xx_oo) as xx_oo,
        exact_sum(xx_oa) as xx_oa,
        exact_sum(xx_aa) as xx_aa,
        exact_sum(xy_o) as xy_o,
        exact_sum(xy_a) as xy_a
    from sums
    group by chassis, response
),
frames as (
    select
        chassis,
        response,
        mean_out,
        mean_aft,
        precision_out,
        precision_aft,
        power(scale_deg, 2) as scale_var,
        corner_spread_var as spread_var,
        totals.* exclude (chassis, response)
    from sensitivities
    inner join priors using (response)
    left join totals using (chassis, response)
    left join (select chassis, response, scale_deg from slope_estimates) as scales using (chassis, response)
    where chassis is not null
),
others as (
    select
        chassis,
        vehicle,
        response,
        slope_without(frames, sums.xx_oo, sums.xx_oa, sums.xx_aa, sums.xy_o, sums.xy_a) as slope
    from vehicles
    inner join frames using (chassis)
    left join sums using (chassis, response, vehicle)
),
angled as (
    select
        chassis,
        vehicle,
        any_value(slope) filter (where response = 'camber_deg') as camber,
        any_value(slope) filter (where response = 'caster_deg') as caster,
        any_value(slope) filter (where response = 'toe_deg') as toe,
        any_value(slope) filter (where response = 'sai_deg') as sai
    from others
    group by chassis, vehicle
)
select
    chassis,
    vehicle,
    camber.slope_out as camber_slope_out,
    camber.slope_aft as camber_slope_aft,
    camber.var_out as camber_var_out,
    camber.var_aft as camber_var_aft,
    camber.cov_out_aft as camber_cov_out_aft,
    caster.slope_out as caster_slope_out,
    caster.slope_aft as caster_slope_aft,
    caster.var_out as caster_var_out,
    caster.var_aft as caster_var_aft,
    caster.cov_out_aft as caster_cov_out_aft,
    toe.slope_out as toe_slope_out,
    toe.slope_aft as toe_slope_aft,
    toe.var_out as toe_var_out,
    toe.var_aft as toe_var_aft,
    toe.cov_out_aft as toe_cov_out_aft,
    sai.slope_out as sai_slope_out,
    sai.slope_aft as sai_slope_aft,
    sai.var_out as sai_var_out,
    sai.var_aft as sai_var_aft,
    sai.cov_out_aft as sai_cov_out_aft
from angled
