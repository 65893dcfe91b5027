-- The front corners that a question is about, as they stand, one row each; vehicle '' where the question names none.
-- asked_vehicles: list of names; asked_chassis: code whose median car with the original mount is asked about, or NULL;
-- given_corners: list of corners told instead of stored (placement and angles), or NULL.
-- *_var_deg2: variance of the present angle. corner_gap: why nothing can be said of it.
create or replace temp macro asked_corners(asked_vehicles, asked_chassis, given_corners) as table
with
-- The residuals of all moves tell, two readings each, averaged with the prior at the weight of 5 moves.
by_moves as (
    select
        priors.response,
        (coalesce(exact_sum(noise_var_deg2 * noise_df), 0) / 2 + 5 * power(any_value(noise_sd_deg), 2))
            / (coalesce(exact_sum(noise_df), 0) + 5) as noise_var
    from (select distinct response, noise_sd_deg from slope_priors) as priors
    left join slope_spreads using (response)
    group by priors.response
),
-- Repeats and untouched sessions of the gauges tell more.
noise as (
    select
        gauge,
        response,
        case source when 'prior' then noise_var else sd_deg * sd_deg end as noise_var,
        least(shared_var_deg2, noise_var) as shared_var
    from reading_noise
    inner join by_moves using (response)
),
typical as (
    select
        max(noise_var) filter (where response = 'camber_deg') as camber_var,
        max(noise_var) filter (where response = 'caster_deg') as caster_var,
        max(noise_var) filter (where response = 'toe_deg') as toe_var
    from noise
    where gauge is null
),
stored as (
    select
        vehicle,
        chassis,
        corner,
        kit,
        plate_hand,
        plate_index,
        mark_1,
        mark_2,
        offset_out_mm,
        offset_aft_mm,
        {'oo': read_error_oo_mm2, 'oa': read_error_oa_mm2, 'aa': read_error_aa_mm2} as read_error,
        camber_deg,
        mean_var(camber.noise_var, camber.shared_var, camber_count) as camber_var_deg2,
        caster_deg,
        mean_var(caster.noise_var, caster.shared_var, caster_count) as caster_var_deg2,
        toe_deg,
        mean_var(toe.noise_var, toe.shared_var, toe_count) as toe_var_deg2
    from present_corners
    left join noise as camber on camber.response = 'camber_deg' and camber.gauge is not distinct from camber_gauge
    left join noise as caster on caster.response = 'caster_deg' and caster.gauge is not distinct from caster_gauge
    left join noise as toe on toe.response = 'toe_deg' and toe.gauge is not distinct from toe_gauge
    where vehicle in (select unnest(asked_vehicles))
),
medians as (
    select
        '' as vehicle,
        chassis,
        unnest(['FL', 'FR']) as corner,
        cast(0 as double) as offset_out_mm,
        cast(0 as double) as offset_aft_mm,
        {'oo': cast(0 as double), 'oa': cast(0 as double), 'aa': cast(0 as double)} as read_error,
        camber_deg,
        camber_var_deg2,
        caster_deg,
        caster_var_deg2,
        toe_deg,
        toe_var_deg2
    from chassis_corners
    where chassis = asked_chassis
),
given as (
    select unnest(given_corners, recursive := true)
),
told as (
    select
        given.*,
        {'oo': power(0.1, 2) / 12, 'oa': cast(0 as double), 'aa': power(0.1, 2) / 12} as read_error,
        camber_var as camber_var_deg2,
        caster_var as caster_var_deg2,
        toe_var as toe_var_deg2
    from given
    cross join typical
)
select * from stored
union all by name
select * from medians
union all by name
select * from told;
