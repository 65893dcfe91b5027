-- title: Ordinary spread between visits, mounts and sides
-- grain: one row
-- source: set_ups, angle_priors, gauge_variances, session_vars
-- missing: none
-- From memory; between visits at least what set-ups and gauges of this field differ by.
-- column camber_visit_var_deg2 DOUBLE [deg2]: variance of what all readings of one visit share: floor, ride height, tightening, run-out
-- column caster_visit_var_deg2 DOUBLE [deg2]: the same for caster
-- column sai_visit_var_deg2 DOUBLE [deg2]: the same for SAI
-- column camber_session_var_deg2 DOUBLE [deg2]: variance of a change over a session that leaves the corner alone, see session_vars
-- column caster_session_var_deg2 DOUBLE [deg2]: the same for caster
-- column sai_session_var_deg2 DOUBLE [deg2]: the same for SAI
-- column camber_mount_var_deg2 DOUBLE [deg2]: variance of what the change from one mount to another adds to the offset's effect
-- column caster_mount_var_deg2 DOUBLE [deg2]: the same for caster
-- column sai_mount_var_deg2 DOUBLE [deg2]: the same for SAI
-- column camber_side_var_deg2 DOUBLE [deg2]: variance of left minus right on a sound car at equal offsets
with
told as (
    select
        response,
        session_var_deg2,
        set_up_var_deg2 + coalesce(used_gauge_var, bias_sd_deg * bias_sd_deg) as visit_var
    from set_ups
    inner join angle_priors using (response)
    inner join session_vars using (response)
    left join gauge_variances using (response)
    where gauge is null
)
select
    greatest(power(0.15, 2), max(visit_var) filter (where response = 'camber_deg')) as camber_visit_var_deg2,
    greatest(power(0.25, 2), max(visit_var) filter (where response = 'caster_deg')) as caster_visit_var_deg2,
    greatest(power(0.25, 2), max(visit_var) filter (where response = 'sai_deg')) as sai_visit_var_deg2,
    max(session_var_deg2) filter (where response = 'camber_deg') as camber_session_var_deg2,
    max(session_var_deg2) filter (where response = 'caster_deg') as caster_session_var_deg2,
    max(session_var_deg2) filter (where response = 'sai_deg') as sai_session_var_deg2,
    power(0.2, 2) as camber_mount_var_deg2,
    power(0.3, 2) as caster_mount_var_deg2,
    power(0.3, 2) as sai_mount_var_deg2,
    power(0.5, 2) as camber_side_var_deg2
from told
