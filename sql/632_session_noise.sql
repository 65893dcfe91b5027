-- title: How sure a session change is, one row with all angles
-- grain: one row per row of session_pairs
-- source: session_reads, session_vars
-- kept: as a view
-- missing: an angle that was not read before and after is NULL
-- Variance of both states plus what a session changes though it leaves the corner alone. Where gauge or person differ before and
-- after, the difference of their biases is taken off and its variance added.
-- column chassis VARCHAR: platform code
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
select
    chassis,
    vehicle,
    corner,
    visit,
    camber_change_deg - camber_step_deg as camber_change_deg,
    caster_change_deg - caster_step_deg as caster_change_deg,
    toe_change_deg - toe_step_deg as toe_change_deg,
    sai_change_deg - sai_step_deg as sai_change_deg,
    case
        when camber_change_deg is not null
            then camber_read_var_deg2 + session_vars.camber_var_deg2 + camber_step_var_deg2
    end as camber_var_deg2,
    case
        when caster_change_deg is not null
            then caster_read_var_deg2 + session_vars.caster_var_deg2 + caster_step_var_deg2
    end as caster_var_deg2,
    case
        when toe_change_deg is not null then toe_read_var_deg2 + session_vars.toe_var_deg2 + toe_step_var_deg2
    end as toe_var_deg2,
    case
        when sai_change_deg is not null then sai_read_var_deg2 + session_vars.sai_var_deg2 + sai_step_var_deg2
    end as sai_var_deg2
from session_reads
cross join session_vars
