-- title: What one millimetre does on a vehicle, by the word of the others
-- grain: one row per vehicle and response
-- source: slope_clusters of the chassis' other vehicles, slope_scales, slope_priors, slope_spreads
-- missing: none; without other vehicles it is the geometric prior
-- A vehicle must not vouch for itself: its own moves are left out. Normal posterior of the pair (out, aft) from the prior of
-- slope_priors and the others' weighted moves with the chassis' scale.
-- column chassis VARCHAR: platform code
-- column vehicle VARCHAR: one car
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column slope_out DOUBLE [deg/mm]: outboard
-- column slope_aft DOUBLE [deg/mm]: rearward
-- column var_out DOUBLE [deg2/mm2]: variance
-- column var_aft DOUBLE [deg2/mm2]: variance
-- column cov_out_aft DOUBLE [deg2/mm2]: covariance
-- column spread_var DOUBLE [deg2/mm2]: variance of a corner's slope about its chassis' slope, along any direction
-- column other_vehicle_count BIGINT: other vehicles of the chassis with moves
with
vehicles as (
    select distinct chassis, vehicle from states
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
        exact_sum(xy_a) as xy_a,
        count(*) as vehicle_count
    from slope_clusters
    group by chassis, response
),
others as (
    select
        vehicles.chassis,
        vehicles.vehicle,
        priors.*,
        coalesce(greatest(totals.xx_oo - coalesce(own.xx_oo, 0), 0) / power(scale_deg, 2), 0) as xx_oo,
        coalesce((totals.xx_oa - coalesce(own.xx_oa, 0)) / power(scale_deg, 2), 0) as xx_oa,
        coalesce(greatest(totals.xx_aa - coalesce(own.xx_aa, 0), 0) / power(scale_deg, 2), 0) as xx_aa,
        coalesce((totals.xy_o - coalesce(own.xy_o, 0)) / power(scale_deg, 2), 0) as xy_o,
        coalesce((totals.xy_a - coalesce(own.xy_a, 0)) / power(scale_deg, 2), 0) as xy_a,
        coalesce(totals.vehicle_count, 0) - case when own.vehicle is null then 0 else 1 end as other_vehicle_count
    from vehicles
    cross join priors
    left join totals on totals.chassis = vehicles.chassis and totals.response = priors.response
    left join slope_clusters as own
        on own.chassis = vehicles.chassis and own.vehicle = vehicles.vehicle and own.response = priors.response
    left join slope_scales on slope_scales.chassis = vehicles.chassis and slope_scales.response = priors.response
),
informed as (
    select
        *,
        (precision_out + xx_oo) * (precision_aft + xx_aa) - xx_oa * xx_oa as det,
        precision_out * mean_out + xy_o as h_out,
        precision_aft * mean_aft + xy_a as h_aft
    from others
)
select
    informed.chassis,
    informed.vehicle,
    informed.response,
    ((precision_aft + xx_aa) * h_out - xx_oa * h_aft) / det as slope_out,
    ((precision_out + xx_oo) * h_aft - xx_oa * h_out) / det as slope_aft,
    (precision_aft + xx_aa) / det as var_out,
    (precision_out + xx_oo) / det as var_aft,
    -xx_oa / det as cov_out_aft,
    spread_var,
    other_vehicle_count
from informed
inner join slope_spreads using (chassis, response)
