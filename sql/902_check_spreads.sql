-- title: What differs between visits, mounts and sides though nothing is wrong
-- grain: one row
-- source: from memory
-- missing: none
-- column camber_visit_var_deg2 DOUBLE [deg2]: variance of what all readings of one visit share: floor, ride height, tightening, run-out
-- column caster_visit_var_deg2 DOUBLE [deg2]: the same for caster
-- column sai_visit_var_deg2 DOUBLE [deg2]: the same for SAI
-- column camber_mount_var_deg2 DOUBLE [deg2]: variance of what the change from one mount to another adds to the offset's effect
-- column caster_mount_var_deg2 DOUBLE [deg2]: the same for caster
-- column sai_mount_var_deg2 DOUBLE [deg2]: the same for SAI
-- column camber_side_var_deg2 DOUBLE [deg2]: variance of left minus right on a sound car at equal offsets
select
    power(0.15, 2) as camber_visit_var_deg2,
    power(0.25, 2) as caster_visit_var_deg2,
    power(0.25, 2) as sai_visit_var_deg2,
    power(0.2, 2) as camber_mount_var_deg2,
    power(0.3, 2) as caster_mount_var_deg2,
    power(0.3, 2) as sai_mount_var_deg2,
    power(0.5, 2) as camber_side_var_deg2
