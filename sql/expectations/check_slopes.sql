-- title: Slopes of a vehicle as the other vehicles tell them
-- grain: one row per chassis and vehicle
-- source: readings, moves of the chassis' other vehicles, slope_estimates, angle_priors, sensitivities
-- missing: none; without other vehicles it is the geometric prior
-- A vehicle must not vouch for itself: its own moves are left out. Normal posterior of the pair (out, aft) from the prior of
-- angle_priors and the others' weighted moves with the chassis' scale.
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
-- Normal equations of all vehicles less those of the vehicle itself.
equations as (
    select
        chassis,
        vehicle,
        response,
        corner_spread_var,
        1 / (sd_out * sd_out) + greatest(others_sum(totals.xx_oo, sums.xx_oo, scale_deg), 0) as p_oo,
        others_sum(totals.xx_oa, sums.xx_oa, scale_deg) as p_oa,
        1 / (sd_aft * sd_aft) + greatest(others_sum(totals.xx_aa, sums.xx_aa, scale_deg), 0) as p_aa,
        mean_out / (sd_out * sd_out) + others_sum(totals.xy_o, sums.xy_o, scale_deg) as h_o,
        mean_aft / (sd_aft * sd_aft) + others_sum(totals.xy_a, sums.xy_a, scale_deg) as h_a
    from (select * from sensitivities where chassis is not null) as spreads
    inner join vehicles using (chassis)
    inner join angle_priors using (response)
    left join totals using (chassis, response)
    left join (select chassis, response, scale_deg from slope_estimates) as scales using (chassis, response)
    left join sums using (chassis, response, vehicle)
),
others as (
    select
        *,
        p_oo * p_aa - p_oa * p_oa as det,
        (p_aa * h_o - p_oa * h_a) / det as slope_out,
        (p_oo * h_a - p_oa * h_o) / det as slope_aft,
        p_aa / det + corner_spread_var as var_out,
        p_oo / det + corner_spread_var as var_aft,
        -p_oa / det as cov_out_aft
    from equations
)
select *
from others pivot (
    max(slope_out) as slope_out, max(slope_aft) as slope_aft, max(var_out) as var_out, max(var_aft) as var_aft,
    max(cov_out_aft) as cov_out_aft
    for response in ('camber_deg' as camber, 'caster_deg' as caster, 'toe_deg' as toe, 'sai_deg' as sai)
    group by chassis, vehicle
)
