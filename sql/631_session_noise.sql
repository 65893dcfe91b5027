-- title: How sure a session change is, one row with all angles
-- grain: one row per row of session_pairs
-- source: session_pairs, reader_counts, repeated_readings, reader_noise, undisturbed_spreads, gauge_priors
-- missing: an angle that was not read before and after is NULL
-- Variance of both states plus what a session changes though it leaves the corner alone (tyre, fuel, floor): the excess of
-- undisturbed changes, where there are 10, over the readings' own variance, with four degrees of freedom of gauge_priors, never
-- under 0. Where gauge or person differ before and after, the difference of their biases is taken off and its variance added.
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR RL RR
-- column visit VARCHAR: visit
-- column camber_change_deg DOUBLE [deg]: after minus before, less the difference of the biases
-- column caster_change_deg DOUBLE [deg]: the same of caster
-- column toe_change_deg DOUBLE [deg]: the same of toe
-- column sai_change_deg DOUBLE [deg]: the same of SAI
-- column camber_var_deg2 DOUBLE [deg2]: variance of that change when nothing happened
-- column caster_var_deg2 DOUBLE [deg2]: the same of caster
-- column toe_var_deg2 DOUBLE [deg2]: the same of toe
-- column sai_var_deg2 DOUBLE [deg2]: the same of SAI
with
mixed as (
    select distinct vehicle, corner, visit, phase, -mixture as reader from repeated_readings where mixture is not null
),
read as materialized (
    select
        changes.* exclude (chassis),
        coalesce(mixed_before.reader, before.reader) as before_reader,
        coalesce(mixed_after.reader, after.reader) as after_reader
    from session_pairs as changes
    left join (select * from mixed where phase = 'before') as mixed_before using (vehicle, corner, visit)
    left join (select * from mixed where phase = 'after') as mixed_after using (vehicle, corner, visit)
    left join reader_counts as before
        on before.gauge is not distinct from before_gauge and before.technician is not distinct from before_technician
    left join reader_counts as after
        on after.gauge is not distinct from after_gauge and after.technician is not distinct from after_technician
),
differences as (
    select
        before_reader,
        after_reader,
        earlier.response,
        {
            'before_var': earlier.read_var_deg2,
            'after_var': later.read_var_deg2,
            'step': case when earlier.gauges is not distinct from later.gauges then 0 else later.gauge_effect_deg - earlier.gauge_effect_deg end
                + case
                    when earlier.technicians is not distinct from later.technicians then 0
                    else later.technician_effect_deg - earlier.technician_effect_deg
                end,
            'step_var': case
                    when earlier.gauges is not distinct from later.gauges then 0
                    else later.gauge_effect_var_deg2 + earlier.gauge_effect_var_deg2
                end
                + case
                    when earlier.technicians is not distinct from later.technicians then 0
                    else later.technician_effect_var_deg2 + earlier.technician_effect_var_deg2
                end
        } as difference
    from (select distinct before_reader, after_reader from read) as pairs
    inner join reader_noise as earlier on earlier.reader = before_reader
    inner join reader_noise as later on later.reader = after_reader and later.response = earlier.response
),
reader_pairs as (
    select
        before_reader,
        after_reader,
        any_value(difference) filter (where response = 'camber_deg') as camber,
        any_value(difference) filter (where response = 'caster_deg') as caster,
        any_value(difference) filter (where response = 'toe_deg') as toe,
        any_value(difference) filter (where response = 'sai_deg') as sai
    from differences
    group by before_reader, after_reader
),
-- A standard deviation per gauge that read both states.
spreads as (
    select
        gauge,
        max(sd_deg) filter (where response = 'camber_deg') as camber_sd,
        max(sd_deg) filter (where response = 'caster_deg') as caster_sd,
        max(sd_deg) filter (where response = 'toe_deg') as toe_sd,
        max(sd_deg) filter (where response = 'sai_deg') as sai_sd
    from undisturbed_spreads
    group by gauge
),
compared as materialized (
    select
        read.*,
        camber.before_var / before_camber_count + camber.after_var / after_camber_count as camber_read_var,
        caster.before_var / before_caster_count + caster.after_var / after_caster_count as caster_read_var,
        toe.before_var / before_toe_count + toe.after_var / after_toe_count as toe_read_var,
        sai.before_var / before_sai_count + sai.after_var / after_sai_count as sai_read_var,
        camber.step as camber_step,
        caster.step as caster_step,
        toe.step as toe_step,
        sai.step as sai_step,
        camber.step_var as camber_step_var,
        caster.step_var as caster_step_var,
        toe.step_var as toe_step_var,
        sai.step_var as sai_step_var
    from read
    inner join reader_pairs using (before_reader, after_reader)
),
undisturbed as (
    select compared.*
    from compared
    inner join spreads on spreads.gauge is not distinct from before_gauge
    where before_gauge is not distinct from after_gauge
        and left_alone(change_of_one(camber_change_deg, before_camber_count, after_camber_count), camber_sd)
        and left_alone(change_of_one(caster_change_deg, before_caster_count, after_caster_count), caster_sd)
        and left_alone(change_of_one(toe_change_deg, before_toe_count, after_toe_count), toe_sd)
        and left_alone(change_of_one(sai_change_deg, before_sai_count, after_sai_count), sai_sd)
),
excess as (
    select unnest([
        -- A normal cut at 2.5 standard deviations keeps 0.911257 of its variance.
        {'response': 'camber_deg', 'n': count(camber_change_deg), 'excess': exact_sum(power(camber_change_deg, 2) / 0.911257 - camber_read_var)},
        {'response': 'caster_deg', 'n': count(caster_change_deg), 'excess': exact_sum(power(caster_change_deg, 2) / 0.911257 - caster_read_var)},
        {'response': 'toe_deg', 'n': count(toe_change_deg), 'excess': exact_sum(power(toe_change_deg, 2) / 0.911257 - toe_read_var)},
        {'response': 'sai_deg', 'n': count(sai_change_deg), 'excess': exact_sum(power(sai_change_deg, 2) / 0.911257 - sai_read_var)}
    ], recursive := true)
    from undisturbed
),
session_vars as (
    select
        response,
        greatest(coalesce(excess, 0) + 4 * session_sd_deg * session_sd_deg, 0) / (coalesce(n, 0) + 4) as session_var
    from gauge_priors
    -- Among fewer nobody can tell which ones were left alone.
    left join (select * from excess where n >= 10) as excess using (response)
),
added as (
    select
        max(session_var) filter (where response = 'camber_deg') as camber_session_var,
        max(session_var) filter (where response = 'caster_deg') as caster_session_var,
        max(session_var) filter (where response = 'toe_deg') as toe_session_var,
        max(session_var) filter (where response = 'sai_deg') as sai_session_var
    from session_vars
)
select
    vehicle,
    corner,
    visit,
    camber_change_deg - camber_step as camber_change_deg,
    caster_change_deg - caster_step as caster_change_deg,
    toe_change_deg - toe_step as toe_change_deg,
    sai_change_deg - sai_step as sai_change_deg,
    case when camber_change_deg is not null then camber_read_var + camber_session_var + camber_step_var end as camber_var_deg2,
    case when caster_change_deg is not null then caster_read_var + caster_session_var + caster_step_var end as caster_var_deg2,
    case when toe_change_deg is not null then toe_read_var + toe_session_var + toe_step_var end as toe_var_deg2,
    case when sai_change_deg is not null then sai_read_var + sai_session_var + sai_step_var end as sai_var_deg2
from compared
cross join added
