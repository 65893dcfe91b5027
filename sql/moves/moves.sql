-- title: Moves of the bearing and what they did to the angles
-- grain: one row per pair of states of one corner in one visit with the same chassis and kit and a known, different offset, and response
-- source: slope_moves
-- kept: as a view
-- missing: a pair is left out for a response that was not read in both states, and for toe where tie rods were turned between them
-- column chassis VARCHAR: platform code
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR
-- column visit VARCHAR: visit
-- column from_phase VARCHAR: before moved
-- column to_phase VARCHAR: moved after
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
    response,
    move_out_mm,
    move_aft_mm,
    mid_out_mm,
    mid_aft_mm,
    change_deg,
    read_change_deg,
    equal_toe,
    weight,
    read_error_oo_mm2,
    read_error_oa_mm2,
    read_error_aa_mm2,
    from_reader,
    to_reader,
    source_file,
    source_line
from slope_moves
where kit_change is null
