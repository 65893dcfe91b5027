-- title: How sure a session change is
-- grain: one row per row of session_noise and angle that was read before and after
-- source: session_noise
-- kept: as a view
-- missing: none
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR RL RR
-- column visit VARCHAR: visit
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column change_deg DOUBLE [deg]: after minus before, less the difference of the biases
-- column change_var_deg2 DOUBLE [deg2]: variance of that change when nothing happened
select vehicle, corner, visit, 'camber_deg' as response, camber_change_deg as change_deg, camber_var_deg2 as change_var_deg2
from session_noise
where camber_change_deg is not null
union all
select vehicle, corner, visit, 'caster_deg' as response, caster_change_deg as change_deg, caster_var_deg2 as change_var_deg2
from session_noise
where caster_change_deg is not null
union all
select vehicle, corner, visit, 'toe_deg' as response, toe_change_deg as change_deg, toe_var_deg2 as change_var_deg2
from session_noise
where toe_change_deg is not null
union all
select vehicle, corner, visit, 'sai_deg' as response, sai_change_deg as change_deg, sai_var_deg2 as change_var_deg2
from session_noise
where sai_change_deg is not null
