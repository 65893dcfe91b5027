-- The kits as designs: middle, direction and half-lengths of the slot at index 1, one row per kit and chassis (NULL = any).
select
    kit_rank,
    plates.kit,
    chassis,
    index_count,
    index_step_deg,
    axis_deg,
    pitch_mm,
    plate_offset(
        (mark_min + mark_max) / 2, (mark2_min + mark2_max) / 2, pitch_mm, axis_deg, centre_out_mm,
        centre_aft_mm, 0, false
    ).out_mm as middle_out_mm,
    plate_offset(
        (mark_min + mark_max) / 2, (mark2_min + mark2_max) / 2, pitch_mm, axis_deg, centre_out_mm,
        centre_aft_mm, 0, false
    ).aft_mm as middle_aft_mm,
    pitch_mm * (mark_max - mark_min) / 2 as half_length_mm,
    pitch_mm * (mark2_max - mark2_min) / 2 as side_mm
from plates
inner join range_kits($kit::varchar) as kits on kits.kit = plates.kit
where mark_min < mark_max
order by kit_rank, chassis nulls first
