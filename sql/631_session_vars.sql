-- title: What a session changes though it leaves the corner alone
-- grain: one row
-- source: session_reads, undisturbed_spreads, gauge_priors
-- missing: none
-- Tyre, fuel, floor: the excess of undisturbed changes, where there are 10, over the readings' own variance, with four degrees of
-- freedom of gauge_priors, never under 0.
-- column camber_var_deg2 DOUBLE [deg2]: variance of camber
-- column caster_var_deg2 DOUBLE [deg2]: variance of caster
-- column toe_var_deg2 DOUBLE [deg2]: variance of toe
-- column sai_var_deg2 DOUBLE [deg2]: variance of sai
with
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
undisturbed as (
    select session_reads.*
    from session_reads
    inner join spreads on spreads.gauge is not distinct from session_reads.gauge
    where same_gauge
        and left_alone(camber_change_of_one, camber_sd)
        and left_alone(caster_change_of_one, caster_sd)
        and left_alone(toe_change_of_one, toe_sd)
        and left_alone(sai_change_of_one, sai_sd)
),
excess as (
    select unnest([
        -- A normal cut at 2.5 standard deviations keeps 0.911257 of its variance.
        {
            'response': 'camber_deg',
            'n': count(camber_change_deg),
            'excess': exact_sum(power(camber_change_deg, 2) / 0.911257 - camber_read_var_deg2)
        },
        {
            'response': 'caster_deg',
            'n': count(caster_change_deg),
            'excess': exact_sum(power(caster_change_deg, 2) / 0.911257 - caster_read_var_deg2)
        },
        {
            'response': 'toe_deg',
            'n': count(toe_change_deg),
            'excess': exact_sum(power(toe_change_deg, 2) / 0.911257 - toe_read_var_deg2)
        },
        {
            'response': 'sai_deg',
            'n': count(sai_change_deg),
            'excess': exact_sum(power(sai_change_deg, 2) / 0.911257 - sai_read_var_deg2)
        }
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
)
select
    max(session_var) filter (where response = 'camber_deg') as camber_var_deg2,
    max(session_var) filter (where response = 'caster_deg') as caster_var_deg2,
    max(session_var) filter (where response = 'toe_deg') as toe_var_deg2,
    max(session_var) filter (where response = 'sai_deg') as sai_var_deg2
from session_vars
