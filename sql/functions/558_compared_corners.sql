-- Corners over a session as the likelihoods of drift read them, from the tables whose names are given (session_corners, session_noise):
-- fronts that can be compared, with the columns of session_corners, and rears, of which camber and toe are read.
create or replace temp macro compared_corners(fronts, noises) as table
select
    chassis,
    vehicle,
    visit,
    corner,
    freedom,
    slot_out,
    slot_aft,
    low_mm,
    high_mm,
    tan_caster,
    equal_toe,
    camber_deg,
    caster_deg,
    sai_deg,
    toe_deg,
    pointer_out_mm,
    pointer_aft_mm,
    camber_var_deg2,
    caster_var_deg2,
    sai_var_deg2,
    toe_var_deg2,
    pointer_var_mm2
from query_table(fronts)
where missing is null
union all by name
select
    chassis,
    vehicle,
    visit,
    corner,
    camber_change_deg as camber_deg,
    toe_change_deg as toe_deg,
    camber_var_deg2,
    toe_var_deg2
from query_table(noises)
where corner in ('RL', 'RR');
