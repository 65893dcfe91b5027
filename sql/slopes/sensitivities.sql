-- title: What one millimetre does, as predictions use it
-- grain: one row per chassis of the readings and response, and one with chassis NULL for any other chassis
-- source: slopes_shrunk, slope_spreads, slope_populations, slope_flags, gauge_priors
-- missing: none
-- A chassis whose own slopes are flagged as implausible gets the population, like one without data.
-- column chassis VARCHAR: platform code; NULL = a chassis without readings
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column basis VARCHAR: own (moves of the chassis), others (other chassis and geometry), geometry, flagged (own data set aside)
-- column slope_out DOUBLE [deg/mm]: outboard
-- column slope_aft DOUBLE [deg/mm]: rearward
-- column var_out DOUBLE [deg2/mm2]: variance, outboard
-- column var_aft DOUBLE [deg2/mm2]: variance, rearward
-- column cov_out_aft DOUBLE [deg2/mm2]: covariance
-- column spread_var DOUBLE [deg2/mm2]: variance of a corner's slope about its chassis' slope, along any direction
-- column move_count BIGINT: moves of the chassis behind it
with
populations as (
    select
        response,
        max(mean_deg_per_mm) filter (where axis = 'out') as mean_out,
        max(mean_deg_per_mm) filter (where axis = 'aft') as mean_aft,
        max(between_var + mean_var) filter (where axis = 'out') as mean_var_out,
        max(between_var + mean_var) filter (where axis = 'aft') as mean_var_aft,
        bool_or(chassis_count > 0) as from_chassis
    from slope_populations
    group by response
),
flagged as (
    select distinct chassis from slope_flags where flag is not null
),
every_chassis as (
    select distinct chassis from slopes_shrunk
    union all
    select cast(null as varchar) as chassis
),
listed as (
    select
        every_chassis.chassis,
        populations.*,
        flagged.chassis is not null as is_flagged,
        shrunk.move_count > 0 and flagged.chassis is null as is_own,
        shrunk.* exclude (chassis, response),
        slope_spreads.spread_var,
        gauge_priors.spread_var as prior_spread_var
    from every_chassis
    cross join populations
    inner join gauge_priors using (response)
    left join flagged on flagged.chassis = every_chassis.chassis
    left join slopes_shrunk as shrunk on shrunk.chassis = every_chassis.chassis
        and shrunk.response = populations.response
    left join slope_spreads on slope_spreads.chassis = every_chassis.chassis
        and slope_spreads.response = populations.response
)
select
    chassis,
    response,
    case
        when is_flagged then 'flagged'
        when is_own then 'own'
        when from_chassis then 'others'
        else 'geometry'
    end as basis,
    case when is_own then slope_out else mean_out end as slope_out,
    case when is_own then slope_aft else mean_aft end as slope_aft,
    case when is_own then var_out else mean_var_out end as var_out,
    case when is_own then var_aft else mean_var_aft end as var_aft,
    case when is_own then cov_out_aft else 0 end as cov_out_aft,
    case when is_own then spread_var else prior_spread_var end as spread_var,
    case when is_own then move_count else 0 end as move_count
from listed
