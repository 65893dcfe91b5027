-- title: Noise of comparisons within a visit
-- grain: one row per chassis and gauge of the readings, and one per chassis with gauge NULL (not named)
-- source: readings, state_pairs, reading_noise, slope_estimates, angle_priors
-- missing: none; a chassis without moves gets the typical scale, no chassis with moves the prior
-- sd is the larger of the gauge's own noise and what the chassis' moves leave over, which holds tightening, rolling and the
-- rest of the plate as well. The S-estimate of scale has 28 % of the efficiency of a standard deviation (Maronna and others
-- 2019, section 5.4.1; from memory), so a chassis' own square counts as 0.28 per move and is averaged with ten squares of the
-- typical one.
-- column chassis VARCHAR: platform code
-- column gauge VARCHAR: measuring equipment; NULL = not named, or several in one state
-- column camber_sd_deg DOUBLE [deg]: standard deviation of one reading of camber, seen against other states of its visit
-- column camber_repeat_sd_deg DOUBLE [deg]: of one reading seen against others of its state; three quarters of camber_sd_deg where not known
-- column caster_sd_deg DOUBLE [deg]: the same of caster
-- column caster_repeat_sd_deg DOUBLE [deg]: the same of caster
-- column toe_sd_deg DOUBLE [deg]: the same of toe
-- column toe_repeat_sd_deg DOUBLE [deg]: the same of toe
-- column sai_sd_deg DOUBLE [deg]: the same of SAI
-- column sai_repeat_sd_deg DOUBLE [deg]: the same of SAI
with
visits as (
    select
        chassis,
        count(camber_change_deg) as camber_deg,
        count(caster_change_deg) as caster_deg,
        count(toe_change_deg) as toe_deg,
        count(sai_change_deg) as sai_deg
    from state_pairs
    group by chassis, vehicle, corner, visit
),
-- How many visits have how many pairs.
cells as (
    select chassis, camber_deg, caster_deg, toe_deg, sai_deg, count(*) as visit_count
    from visits
    group by all
),
counted as (
    unpivot cells on camber_deg, caster_deg, toe_deg, sai_deg into name response value pair_count
),
-- How much of the variance of one reading the moves hold: sqrt(weight) * residual has 2 sd^2 where a visit has two states and 2/3 of that
-- where it has three.
shares as (
    select
        chassis,
        response,
        sum(
            visit_count * pair_count * case when pair_count > 1 then 2 else 3 end
        ) / (3 * sum(visit_count * pair_count)) as share
    from counted
    where pair_count > 0
    group by chassis, response
),
scales as (
    select chassis, response, power(own_scale_deg, 2) / 2 / share as own_var, 0.28 * scaled_move_count as own_weight
    from slope_estimates
    inner join shares using (chassis, response)
),
typical as (
    select response, median(power(typical_scale_deg, 2) / 2 / share) as typical_var_deg2
    from slope_estimates
    inner join shares using (chassis, response)
    group by response
),
seen as (
    select distinct chassis, gauge from readings
    union
    select distinct chassis, null as gauge from readings
),
combined as (
    select
        seen.chassis,
        seen.gauge,
        priors.response,
        coalesce(
            sqrt((own_weight * own_var + 10 * typical_var_deg2) / (own_weight + 10)),
            sqrt(typical_var_deg2),
            noise_sd_deg
        ) as state_sd_deg,
        case when df > 0 then reading_noise.sd_deg end as gauge_sd_deg,
        greatest(state_sd_deg, gauge_sd_deg) as sd_deg,
        coalesce(gauge_sd_deg, 0.75 * state_sd_deg) as repeat_sd_deg
    from seen
    cross join angle_priors as priors
    left join scales on scales.chassis = seen.chassis and scales.response = priors.response
    left join typical on typical.response = priors.response
    left join reading_noise on reading_noise.gauge is not distinct from seen.gauge
        and reading_noise.response = priors.response
)
select *
from combined pivot (
    max(sd_deg) as sd_deg, max(repeat_sd_deg) as repeat_sd_deg
    for response in ('camber_deg' as camber, 'caster_deg' as caster, 'toe_deg' as toe, 'sai_deg' as sai)
    group by chassis, gauge
)
