-- title: What moves a reading though nothing moved
-- grain: one row per chassis, gauge (NULL = not named) and response of the readings
-- source: reading_noise, slope_scales, slope_priors; between visits and across a change of mount from memory
-- missing: none; a chassis without moves gets the typical scale, no chassis with moves the prior
-- sd_deg is the larger of the gauge's own noise and what the chassis' moves leave over, which holds tightening, rolling and the
-- rest of the plate as well. The S-estimate of scale has 28 % of the efficiency of a standard deviation (Maronna and others
-- 2019, section 5.4.1; from memory), so a chassis' own square counts as 0.28 per move and is averaged with ten squares of the
-- typical one. It is the scale of sqrt(weight) * residual, whose variance is 2 sd^2 where a visit has two states and 2/3 of
-- that where it has three.
-- column chassis VARCHAR: platform code
-- column gauge VARCHAR: measuring equipment; NULL = not named, or several in one state
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column sd_deg DOUBLE [deg]: standard deviation of one reading, seen against other states of its visit
-- column repeat_sd_deg DOUBLE [deg]: of one reading seen against others of its state; three quarters of sd_deg where not known
-- column visit_sd_deg DOUBLE [deg]: of what all readings of one visit share: floor, ride height, tightening, run-out
-- column mount_sd_deg DOUBLE [deg]: of what the change from one mount to another adds to the offset's effect
-- column side_sd_deg DOUBLE [deg]: of left minus right on a sound car at equal offsets
with
pairs as (
    select chassis, response, count(*) as pair_count from moves group by chassis, response, vehicle, corner, visit
),
shares as (
    select
        chassis,
        response,
        sum(pair_count * case when pair_count > 1 then 2 else 3 end) / (3 * sum(pair_count)) as share
    from pairs
    group by chassis, response
),
scales as (
    select
        slope_scales.chassis,
        response,
        power(own_scale_deg, 2) / 2 / share as own_var,
        power(typical_scale_deg, 2) / 2 as typical_var,
        0.28 * move_count as own_weight,
        share
    from slope_scales
    inner join shares using (chassis, response)
),
typical as (
    select response, median(typical_var / share) as typical_var from scales group by response
),
between_visits as (
    select *
    from (
        values
            ('camber_deg', cast(0.15 as double), cast(0.2 as double), cast(0.5 as double)),
            ('caster_deg', 0.25, 0.3, 0.6),
            ('toe_deg', 0.1, 0.2, 0.3),
            ('sai_deg', 0.25, 0.3, 0.6)
    ) as between_visits(response, visit_sd_deg, mount_sd_deg, side_sd_deg)
),
seen as (
    select distinct chassis, gauge from placements
    union
    select distinct chassis, null as gauge from placements
),
combined as (
    select
        seen.chassis,
        seen.gauge,
        priors.response,
        coalesce(
            sqrt((own_weight * own_var + 10 * typical.typical_var) / (own_weight + 10)),
            sqrt(typical.typical_var),
            noise_sd_deg
        ) as state_sd_deg,
        case when reading_noise.df > 0 then reading_noise.sd_deg end as gauge_sd_deg,
        visit_sd_deg,
        mount_sd_deg,
        side_sd_deg
    from seen
    cross join (select distinct response, noise_sd_deg from slope_priors) as priors
    inner join between_visits using (response)
    left join scales on scales.chassis = seen.chassis and scales.response = priors.response
    left join typical on typical.response = priors.response
    left join reading_noise on reading_noise.gauge is not distinct from seen.gauge and reading_noise.response = priors.response
)
select
    chassis,
    gauge,
    response,
    greatest(state_sd_deg, gauge_sd_deg) as sd_deg,
    coalesce(gauge_sd_deg, 0.75 * state_sd_deg) as repeat_sd_deg,
    visit_sd_deg,
    mount_sd_deg,
    side_sd_deg
from combined
