-- title: What each session did to the readings, with what the readers make of it
-- grain: one row per row of session_pairs
-- source: session_pairs, reader_pairs
-- missing: an angle that was not read before and after is NULL
-- column chassis VARCHAR: platform code
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR RL RR
-- column visit VARCHAR: visit
-- column same_gauge BOOLEAN: one gauge read before and after, or none has a name
-- column gauge VARCHAR: the gauge before; NULL where it has no name
-- column camber_change_deg DOUBLE [deg]: camber, after minus before as read
-- column camber_change_of_one DOUBLE [deg]: the same over sqrt(1 / readings before + 1 / readings after)
-- column camber_read_var_deg2 DOUBLE [deg2]: variance of both means
-- column camber_step_deg DOUBLE [deg]: what differing biases make of it
-- column camber_step_var_deg2 DOUBLE [deg2]: its variance
-- column caster_change_deg DOUBLE [deg]: caster, after minus before as read
-- column caster_change_of_one DOUBLE [deg]: the same over sqrt(1 / readings before + 1 / readings after)
-- column caster_read_var_deg2 DOUBLE [deg2]: variance of both means
-- column caster_step_deg DOUBLE [deg]: what differing biases make of it
-- column caster_step_var_deg2 DOUBLE [deg2]: its variance
-- column toe_change_deg DOUBLE [deg]: toe, after minus before as read
-- column toe_change_of_one DOUBLE [deg]: the same over sqrt(1 / readings before + 1 / readings after)
-- column toe_read_var_deg2 DOUBLE [deg2]: variance of both means
-- column toe_step_deg DOUBLE [deg]: what differing biases make of it
-- column toe_step_var_deg2 DOUBLE [deg2]: its variance
-- column sai_change_deg DOUBLE [deg]: sai, after minus before as read
-- column sai_change_of_one DOUBLE [deg]: the same over sqrt(1 / readings before + 1 / readings after)
-- column sai_read_var_deg2 DOUBLE [deg2]: variance of both means
-- column sai_step_deg DOUBLE [deg]: what differing biases make of it
-- column sai_step_var_deg2 DOUBLE [deg2]: its variance
select
    chassis,
    vehicle,
    corner,
    visit,
    before_gauge is not distinct from after_gauge as same_gauge,
    before_gauge as gauge,
    camber_change_deg,
    change_of_one(camber_change_deg, before_camber_count, after_camber_count) as camber_change_of_one,
    mean_var(camber_before_var_deg2, camber_before_shared_deg2, before_camber_count)
        + mean_var(camber_after_var_deg2, camber_after_shared_deg2, after_camber_count) as camber_read_var_deg2,
    camber_step_deg,
    camber_step_var_deg2,
    caster_change_deg,
    change_of_one(caster_change_deg, before_caster_count, after_caster_count) as caster_change_of_one,
    mean_var(caster_before_var_deg2, caster_before_shared_deg2, before_caster_count)
        + mean_var(caster_after_var_deg2, caster_after_shared_deg2, after_caster_count) as caster_read_var_deg2,
    caster_step_deg,
    caster_step_var_deg2,
    toe_change_deg,
    change_of_one(toe_change_deg, before_toe_count, after_toe_count) as toe_change_of_one,
    mean_var(toe_before_var_deg2, toe_before_shared_deg2, before_toe_count)
        + mean_var(toe_after_var_deg2, toe_after_shared_deg2, after_toe_count) as toe_read_var_deg2,
    toe_step_deg,
    toe_step_var_deg2,
    sai_change_deg,
    change_of_one(sai_change_deg, before_sai_count, after_sai_count) as sai_change_of_one,
    mean_var(sai_before_var_deg2, sai_before_shared_deg2, before_sai_count)
        + mean_var(sai_after_var_deg2, sai_after_shared_deg2, after_sai_count) as sai_read_var_deg2,
    sai_step_deg,
    sai_step_var_deg2
from session_pairs
inner join reader_pairs using (before_reader, after_reader)
