-- title: Moves that slopes are fitted to, installs of kits included
-- grain: one row per row of state_pairs and response
-- source: state_pairs
-- kept: as a view
-- missing: a pair is left out for a response that was not read in both states, and for toe where tie rods were turned between them
-- column chassis VARCHAR: platform code
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR
-- column visit VARCHAR: visit
-- column from_phase VARCHAR: before moved
-- column to_phase VARCHAR: moved after
-- column kit_change VARCHAR: earlier and later kit where they differ; NULL = one kit
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column move_out_mm DOUBLE [mm]: change of the bearing offset, outboard
-- column move_aft_mm DOUBLE [mm]: change of the bearing offset, rearward
-- column mid_out_mm DOUBLE [mm]: middle of the two offsets, outboard
-- column mid_aft_mm DOUBLE [mm]: middle of the two offsets, rearward
-- column change_deg DOUBLE [deg]: change of the angle; camber is brought to equal toe with the caster of the corner
-- column read_change_deg DOUBLE [deg]: change of the angle as read
-- column equal_toe VARCHAR: measured (toe read in both states), assumed (tie rods re-set, toe not read), no caster (toe read, caster nowhere on the chassis), unknown (toe not read)
-- column weight DOUBLE: 2 r1 r2 / (sum of r over the visit's states), r = readings averaged: pairs of one visit share their information
-- column read_error_oo_mm2 DOUBLE [mm2]: variance of the move from reading the pointer twice, outboard
-- column read_error_oa_mm2 DOUBLE [mm2]: its covariance
-- column read_error_aa_mm2 DOUBLE [mm2]: its variance rearward
-- column from_reader BIGINT: who read the earlier state, see readers, where the two were read with two gauges; else NULL
-- column to_reader BIGINT: who read the later one
-- column source_file VARCHAR: file of the later state's first reading
-- column source_line INTEGER: line of the later state's first reading
select
    chassis,
    vehicle,
    corner,
    visit,
    from_phase,
    to_phase,
    kit_change,
    response,
    move_out_mm,
    move_aft_mm,
    mid_out_mm,
    mid_aft_mm,
    case response
        when 'camber_deg' then camber_change_deg
        when 'caster_deg' then caster_change_deg
        when 'sai_deg' then sai_change_deg
        else toe_change_deg
    end as change_deg,
    case when response = 'camber_deg' then camber_read_change_deg else change_deg end as read_change_deg,
    equal_toe,
    case response
        when 'camber_deg' then camber_weight
        when 'caster_deg' then caster_weight
        when 'sai_deg' then sai_weight
        else toe_weight
    end as weight,
    read_error_oo_mm2,
    read_error_oa_mm2,
    read_error_aa_mm2,
    from_reader,
    to_reader,
    source_file,
    source_line
from state_pairs
cross join (values ('camber_deg'), ('caster_deg'), ('sai_deg'), ('toe_deg')) as angles(response)
where change_deg is not null
