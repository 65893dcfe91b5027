-- title: Total toe that was entered as toe of each wheel
-- likely: the total of both wheels was written in both rows, or each wheel's number was doubled
-- mend: ask whose habit it is; halve the numbers, or load the file again with an import map that says toe: total, and --replace
-- computed by: src/stats/checks
-- explains: downweighted_moves
-- Judged per file, technician, gauge and visit: is toe twice too large, by the target that an `after` names and by what the
-- offsets do to toe on other cars, and equal left and right, as a total is (20 % of states are where wheels are
-- read one by one to 0.01 deg, more in proportion to a coarser display)?
-- Prior (from memory): per wheel 94.5 %, halved total 4 %, total 1 %, each doubled 0.5 %; half the last two for one visit.
select
    lefts.chassis,
    vehicle,
    visit,
    phase,
    lefts.source_file,
    lefts.source_line,
    lefts.technician,
    lefts.gauge,
    least(greatest(20 * coalesce(toe_step_deg, 0.01), 0.2), 0.97) as equal_share,
    lefts.toe_reset or rights.toe_reset as toe_reset,
    lefts.kit,
    lefts.toe_deg as left_toe_deg,
    rights.toe_deg as right_toe_deg,
    lefts.offset_out_mm as left_out_mm,
    lefts.offset_aft_mm as left_aft_mm,
    rights.offset_out_mm as right_out_mm,
    rights.offset_aft_mm as right_aft_mm,
    lefts.read_error_oo_mm2 * coalesce(of_left.variance_ratio, 1) as left_error_oo_mm2,
    lefts.read_error_oa_mm2 * coalesce(of_left.variance_ratio, 1) as left_error_oa_mm2,
    lefts.read_error_aa_mm2 * coalesce(of_left.variance_ratio, 1) as left_error_aa_mm2,
    rights.read_error_oo_mm2 * coalesce(of_right.variance_ratio, 1) as right_error_oo_mm2,
    rights.read_error_oa_mm2 * coalesce(of_right.variance_ratio, 1) as right_error_oa_mm2,
    rights.read_error_aa_mm2 * coalesce(of_right.variance_ratio, 1) as right_error_aa_mm2,
    coalesce(own.toe_deg, common.toe_deg) as aim_deg,
    toe_sd_deg,
    columns('^toe_(slope|var|cov)_')
from states as lefts
inner join states as rights using (vehicle, visit, phase)
inner join check_noise on check_noise.chassis = lefts.chassis and check_noise.gauge is not distinct from lefts.gauge
inner join check_slopes on check_slopes.chassis = lefts.chassis and check_slopes.vehicle = lefts.vehicle
left join check_steps
    on check_steps.source_file = lefts.source_file and check_steps.gauge is not distinct from lefts.gauge
left join pointer_errors as of_left on of_left.kit = lefts.kit
left join pointer_errors as of_right on of_right.kit = rights.kit
left join targets as own on own.target = lefts.target and own.chassis = lefts.chassis
left join targets as common on common.target = lefts.target and common.chassis is null
where lefts.corner = 'FL' and rights.corner = 'FR' and lefts.toe_deg is not null and rights.toe_deg is not null
order by vehicle, visit, lefts.phase_order
