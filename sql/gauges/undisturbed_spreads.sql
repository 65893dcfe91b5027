-- title: Spread of session changes where the session left the corner alone
-- grain: one row per gauge and angle of session_pairs, read with one gauge before and after
-- source: session_pairs, display_steps
-- missing: gauge is NULL where none was named
-- Standard deviation of changes truncated at 2.5 of themselves, made consistent with the normal (the variance of a normal cut at
-- 2.5 is 0.911257 of the whole), iterated from the median absolute deviation until none
-- moves by a thousandth; a corner counts only where all of its angles stay
-- within, since slips and bends show in some angles more than in others. Never less than what rounding to the steps of the display adds:
-- where most changes show as 0, those of one step belong to them.
-- column gauge VARCHAR: gauge that read both states
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column change_count BIGINT: changes of corners left alone
-- column sd_deg DOUBLE [deg]: standard deviation of one reading in them
with recursive
-- No instrument shows steps so fine that less could be told.
floors as (
    select
        gauge,
        greatest(max(step_deg) filter (where response = 'camber_deg') / sqrt(12), 0.005) as camber_least,
        greatest(max(step_deg) filter (where response = 'caster_deg') / sqrt(12), 0.005) as caster_least,
        greatest(max(step_deg) filter (where response = 'toe_deg') / sqrt(12), 0.005) as toe_least,
        greatest(max(step_deg) filter (where response = 'sai_deg') / sqrt(12), 0.005) as sai_least
    from display_steps
    group by gauge
),
changes as materialized (
    select
        before_gauge as gauge,
        change_of_one(camber_change_deg, before_camber_count, after_camber_count) as camber,
        change_of_one(caster_change_deg, before_caster_count, after_caster_count) as caster,
        change_of_one(toe_change_deg, before_toe_count, after_toe_count) as toe,
        change_of_one(sai_change_deg, before_sai_count, after_sai_count) as sai,
        columns('_least$')
    from session_pairs
    left join floors on floors.gauge is not distinct from before_gauge
    where before_gauge is not distinct from after_gauge
),
spreads as (
    select
        0 as step,
        gauge,
        greatest(1.4826 * median(abs(camber)), any_value(camber_least)) as camber_sd,
        greatest(1.4826 * median(abs(caster)), any_value(caster_least)) as caster_sd,
        greatest(1.4826 * median(abs(toe)), any_value(toe_least)) as toe_sd,
        greatest(1.4826 * median(abs(sai)), any_value(sai_least)) as sai_sd,
        false as settled
    from changes
    group by gauge
    union all
    select
        step + 1 as step,
        gauge,
        camber_sd,
        caster_sd,
        toe_sd,
        sai_sd,
        coalesce(abs(camber_sd / last_camber_sd - 1) <= 1e-3, true)
            and coalesce(abs(caster_sd / last_caster_sd - 1) <= 1e-3, true)
            and coalesce(abs(toe_sd / last_toe_sd - 1) <= 1e-3, true)
            and coalesce(abs(sai_sd / last_sai_sd - 1) <= 1e-3, true) as settled
    from (
        select
            step,
            changes.gauge,
            greatest(sqrt(fine_sum(camber * camber) / count(camber) / 0.911257), any_value(camber_least)) as camber_sd,
            greatest(sqrt(fine_sum(caster * caster) / count(caster) / 0.911257), any_value(caster_least)) as caster_sd,
            greatest(sqrt(fine_sum(toe * toe) / count(toe) / 0.911257), any_value(toe_least)) as toe_sd,
            greatest(sqrt(fine_sum(sai * sai) / count(sai) / 0.911257), any_value(sai_least)) as sai_sd,
            any_value(spreads.camber_sd) as last_camber_sd,
            any_value(spreads.caster_sd) as last_caster_sd,
            any_value(spreads.toe_sd) as last_toe_sd,
            any_value(spreads.sai_sd) as last_sai_sd
        from changes
        inner join spreads on spreads.gauge is not distinct from changes.gauge
        where step < 8
            and not settled
            and left_alone(camber, spreads.camber_sd)
            and left_alone(caster, spreads.caster_sd)
            and left_alone(toe, spreads.toe_sd)
            and left_alone(sai, spreads.sai_sd)
        group by step, changes.gauge
    )
),
newest as (
    select *
    from spreads
    qualify row_number() over (partition by gauge order by step desc) = 1
),
counted as (
    select
        changes.gauge,
        camber_sd,
        caster_sd,
        toe_sd,
        sai_sd,
        count(camber) as camber_count,
        count(caster) as caster_count,
        count(toe) as toe_count,
        count(sai) as sai_count
    from changes
    inner join newest on newest.gauge is not distinct from changes.gauge
    where left_alone(camber, camber_sd) and left_alone(caster, caster_sd) and left_alone(toe, toe_sd)
        and left_alone(sai, sai_sd)
    group by changes.gauge, camber_sd, caster_sd, toe_sd, sai_sd
),
counted_long as (
    select
        gauge,
        unnest([
            {'response': 'camber_deg', 'change_count': camber_count, 'sd_deg': camber_sd},
            {'response': 'caster_deg', 'change_count': caster_count, 'sd_deg': caster_sd},
            {'response': 'toe_deg', 'change_count': toe_count, 'sd_deg': toe_sd},
            {'response': 'sai_deg', 'change_count': sai_count, 'sd_deg': sai_sd}
        ], recursive := true)
    from counted
)
select gauge, response, change_count, sd_deg
from counted_long
where change_count > 0
