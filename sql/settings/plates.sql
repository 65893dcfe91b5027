-- title: Plates of the kits, blanks filled in
-- grain: one row per row of the kits table
-- source: kits
-- missing: mark_min and mark_max stay NULL where the kit does not give them; its reach is then not known
-- column kit VARCHAR: kit
-- column chassis VARCHAR: platform code; NULL = any
-- column index_count INTEGER: bolt positions
-- column index_step_deg DOUBLE [deg]: angle between bolt positions
-- column axis_deg DOUBLE [deg]: direction of the first scale at index 1, from outboard towards rearward
-- column pitch_mm DOUBLE [mm]: travel of one mark
-- column mark_min DOUBLE [marks]: lowest mark of the first scale
-- column mark_max DOUBLE [marks]: highest mark of the first scale
-- column mark2_min DOUBLE [marks]: lowest mark of the second scale, 0 where there is none
-- column mark2_max DOUBLE [marks]: highest mark of the second scale, 0 where there is none
-- column two_scales BOOLEAN: the plate has a second scale
-- column centre_out_mm DOUBLE [mm]: bearing at marks 0, outboard, at index 1
-- column centre_aft_mm DOUBLE [mm]: bearing at marks 0, rearward, at index 1
-- column mark_resolution DOUBLE [marks]: smallest part of a mark that the pointer is read to
-- column mark_error_mm2 DOUBLE [mm2]: variance of a pointer's place along a scale, uniform over the resolution
select
    kit,
    chassis,
    coalesce(index_count, 3) as index_count,
    coalesce(index_step_deg, 120) as index_step_deg,
    coalesce(axis_deg, 0) as axis_deg,
    mark_pitch_mm as pitch_mm,
    mark_min,
    mark_max,
    coalesce(mark2_min, 0) as mark2_min,
    coalesce(mark2_max, 0) as mark2_max,
    coalesce(mark2_min, 0) <> 0 or coalesce(mark2_max, 0) <> 0 as two_scales,
    coalesce(centre_out_mm, 0) as centre_out_mm,
    coalesce(centre_aft_mm, 0) as centre_aft_mm,
    coalesce(mark_resolution, 0.5) as mark_resolution,
    power(mark_pitch_mm * coalesce(mark_resolution, 0.5), 2) / 12 as mark_error_mm2
from kits
