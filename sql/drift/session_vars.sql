-- title: Variance of change over a session that leaves the corner alone
-- grain: one row per angle
-- source: session_pairs, undisturbed_spreads, reader_noise, set_ups, angle_priors
-- missing: none
-- Set-ups, tyre, fuel, floor: the excess of undisturbed changes by one reader, where there are 10, over the readings' own variance, with
-- four degrees of freedom of angle_priors and of what readings tell of set-ups, never under 0.
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column session_var_deg2 DOUBLE [deg2]: variance of the change
-- column pair_count BIGINT: undisturbed changes behind it
with
-- A standard deviation per gauge that read both states.
spreads as (
    select *
    from undisturbed_spreads pivot (
        max(sd_deg) as sd
        for response in ('camber_deg' as camber, 'caster_deg' as caster, 'toe_deg' as toe, 'sai_deg' as sai)
        group by gauge
    )
),
undisturbed as (
    select
        before_reader as reader,
        unnest([
            {
                'response': 'camber_deg', 'change': camber_change_deg,
                'before_count': before_camber_count, 'after_count': after_camber_count
            },
            {
                'response': 'caster_deg', 'change': caster_change_deg,
                'before_count': before_caster_count, 'after_count': after_caster_count
            },
            {
                'response': 'toe_deg', 'change': toe_change_deg,
                'before_count': before_toe_count, 'after_count': after_toe_count
            },
            {
                'response': 'sai_deg', 'change': sai_change_deg,
                'before_count': before_sai_count, 'after_count': after_sai_count
            }
        ], recursive := true)
    from session_pairs
    inner join spreads on spreads.gauge is not distinct from before_gauge
    where before_reader = after_reader
        and left_alone(change_of_one(camber_change_deg, before_camber_count, after_camber_count), camber_sd)
        and left_alone(change_of_one(caster_change_deg, before_caster_count, after_caster_count), caster_sd)
        and left_alone(change_of_one(toe_change_deg, before_toe_count, after_toe_count), toe_sd)
        and left_alone(change_of_one(sai_change_deg, before_sai_count, after_sai_count), sai_sd)
),
excess as (
    select
        response,
        count(*) as n,
        -- A normal cut at 2.5 standard deviations keeps 0.911257 of its variance.
        exact_sum(
            change * change / 0.911257
                - mean_var(one_var_deg2, shared_var_deg2, before_count)
                - mean_var(one_var_deg2, shared_var_deg2, after_count)
        ) as excess
    from undisturbed
    inner join reader_noise using (reader, response)
    where change is not null
    group by response
    -- Among fewer nobody can tell which ones were left alone.
    having count(*) >= 10
),
expected as (
    select
        response,
        session_sd_deg * session_sd_deg
            + case when source = 'prior' then 0 else 2 * set_up_var_deg2 end as session_var
    from angle_priors
    inner join (select * from set_ups where gauge is null) as typical using (response)
)
select
    response,
    greatest(coalesce(excess, 0) + 4 * session_var, 0) / (coalesce(n, 0) + 4) as session_var_deg2,
    coalesce(n, 0) as pair_count
from expected
left join excess using (response)
