-- The front corners that a question is about, as they stand, one row each; vehicle '' where the question names none.
-- asked_vehicles: list of names; asked_chassis: code whose median car with the original mount is asked about, or NULL;
-- given_corners: list of corners told instead of stored (placement and angles), or NULL.
-- *_deg: as read. *_bias_deg: what its reader added to the true angle on that day, as far as known; *_var_deg2: variance of the true angle about the
-- reading less that; of it *_mean_var_deg2 from repeating, *_set_up_var_deg2 from the set-up, *_bias_var_deg2 from the bias.
-- *_next_var_deg2: variance of one reading more, by a set-up of its own.
create or replace temp macro asked_corners(asked_vehicles, asked_chassis, given_corners) as table
with
noise as (
    select * from reading_worths()
),
-- Whoever is not among the readers is anyone.
anyone as (
    select
        max(worth) filter (where response = 'camber_deg') as camber,
        max(worth) filter (where response = 'caster_deg') as caster,
        max(worth) filter (where response = 'toe_deg') as toe
    from noise
    where reader = 0
),
present as (
    select *
    from present_corners
    where vehicle in (select unnest(asked_vehicles))
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
        camber_ts,
        camber_count,
        camber_mountings,
        camber_gauge,
        coalesce(camber.worth, anyone.camber) as camber_worth,
        caster_deg,
        caster_ts,
        caster_count,
        caster_mountings,
        caster_gauge,
        coalesce(caster.worth, anyone.caster) as caster_worth,
        toe_deg,
        toe_ts,
        toe_count,
        toe_mountings,
        coalesce(toe.worth, anyone.toe) as toe_worth
    from present
    cross join anyone
    left join noise as camber on camber.response = 'camber_deg' and camber.reader = camber_reader
    left join noise as caster on caster.response = 'caster_deg' and caster.reader = caster_reader
    left join noise as toe on toe.response = 'toe_deg' and toe.reader = toe_reader
),
given as (
    select unnest(given_corners, recursive := true)
),
told as (
    select
        given.*,
        {'oo': power(0.1, 2) / 12, 'oa': cast(0 as double), 'aa': power(0.1, 2) / 12} as read_error,
        cast(null as timestamp) as camber_ts,
        1 as camber_count,
        1 as camber_mountings,
        anyone.camber as camber_worth,
        cast(null as timestamp) as caster_ts,
        1 as caster_count,
        1 as caster_mountings,
        anyone.caster as caster_worth,
        cast(null as timestamp) as toe_ts,
        1 as toe_count,
        1 as toe_mountings,
        anyone.toe as toe_worth
    from given
    cross join anyone
),
rated as (
    select
        * exclude (camber_worth, caster_worth, toe_worth, camber_count, caster_count, toe_count, camber_mountings,
            caster_mountings, toe_mountings, camber_ts, caster_ts, toe_ts),
        camber_worth.bias + walked(camber_worth.walk, weeks_of(camber_ts)) as camber_bias_deg,
        bias_var_then(camber_worth.bias_var, camber_worth.walk, camber_ts) as camber_bias_var_deg2,
        set_up_over(camber_worth.set_up, camber_worth.mounting, camber_mountings) as camber_set_up_var_deg2,
        camber_worth.set_up + camber_worth.one as camber_next_var_deg2,
        mean_var(camber_worth.one, camber_worth.shared, camber_count) as camber_mean_var_deg2,
        camber_mean_var_deg2 + camber_set_up_var_deg2 + camber_bias_var_deg2 as camber_var_deg2,
        caster_worth.bias + walked(caster_worth.walk, weeks_of(caster_ts)) as caster_bias_deg,
        bias_var_then(caster_worth.bias_var, caster_worth.walk, caster_ts) as caster_bias_var_deg2,
        set_up_over(caster_worth.set_up, caster_worth.mounting, caster_mountings) as caster_set_up_var_deg2,
        caster_worth.set_up + caster_worth.one as caster_next_var_deg2,
        mean_var(caster_worth.one, caster_worth.shared, caster_count) as caster_mean_var_deg2,
        caster_mean_var_deg2 + caster_set_up_var_deg2 + caster_bias_var_deg2 as caster_var_deg2,
        toe_worth.bias + walked(toe_worth.walk, weeks_of(toe_ts)) as toe_bias_deg,
        bias_var_then(toe_worth.bias_var, toe_worth.walk, toe_ts) as toe_bias_var_deg2,
        set_up_over(toe_worth.set_up, toe_worth.mounting, toe_mountings) as toe_set_up_var_deg2,
        toe_worth.set_up + toe_worth.one as toe_next_var_deg2,
        mean_var(toe_worth.one, toe_worth.shared, toe_count) as toe_mean_var_deg2,
        toe_mean_var_deg2 + toe_set_up_var_deg2 + toe_bias_var_deg2 as toe_var_deg2
    from (select * from stored union all by name select * from told)
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
)
select * from rated
union all by name
select * from medians;
