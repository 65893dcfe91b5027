-- title: How sure a session change is
-- grain: one row per row of session_changes
-- source: session_changes, state_noise, undisturbed_changes, gauge_priors
-- missing: none
-- Variance of both states plus what a session changes though it leaves the corner alone (tyre, fuel, floor): the excess of
-- undisturbed changes, where there are 10, over the readings' own variance, with four degrees of freedom of gauge_priors, never
-- under 0. Where gauge or person differ before and after, the difference of their biases is taken off and its variance added.
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR RL RR
-- column visit VARCHAR: visit
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column change_deg DOUBLE [deg]: after minus before, less the difference of the biases
-- column change_var_deg2 DOUBLE [deg2]: variance of that change when nothing happened
with
compared as (
    select
        changes.vehicle,
        changes.corner,
        changes.visit,
        changes.response,
        changes.change_deg,
        earlier.read_var_deg2 + later.read_var_deg2 as read_var,
        case when earlier.gauges is not distinct from later.gauges then 0 else 1 end as other_gauge,
        case when earlier.technicians is not distinct from later.technicians then 0 else 1 end as other_person,
        later.gauge_effect_deg - earlier.gauge_effect_deg as gauge_step,
        later.gauge_effect_var_deg2 + earlier.gauge_effect_var_deg2 as gauge_step_var,
        later.technician_effect_deg - earlier.technician_effect_deg as person_step,
        later.technician_effect_var_deg2 + earlier.technician_effect_var_deg2 as person_step_var
    from session_changes as changes
    inner join state_noise as earlier
        on earlier.vehicle = changes.vehicle
        and earlier.corner = changes.corner
        and earlier.visit = changes.visit
        and earlier.phase = 'before'
        and earlier.response = changes.response
    inner join state_noise as later
        on later.vehicle = changes.vehicle
        and later.corner = changes.corner
        and later.visit = changes.visit
        and later.phase = 'after'
        and later.response = changes.response
),
excess as (
    select
        response,
        -- A normal cut at 2.5 standard deviations keeps 0.911257 of its variance.
        exact_sum(power(undisturbed.change_deg, 2) / 0.911257 - read_var) as excess,
        count(*) as n
    from undisturbed_changes as undisturbed
    inner join compared using (vehicle, corner, visit, response)
    group by response
    -- Among fewer nobody can tell which ones were left alone.
    having count(*) >= 10
),
added as (
    select
        response,
        greatest(coalesce(excess, 0) + 4 * session_sd_deg * session_sd_deg, 0) / (coalesce(n, 0) + 4) as session_var
    from gauge_priors
    left join excess using (response)
)
select
    vehicle,
    corner,
    visit,
    response,
    change_deg - other_gauge * gauge_step - other_person * person_step as change_deg,
    read_var + session_var + other_gauge * gauge_step_var + other_person * person_step_var as change_var_deg2
from compared
inner join added using (response)
