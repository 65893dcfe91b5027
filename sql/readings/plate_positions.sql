-- title: What a mark is worth in the vehicle frame
-- grain: one row per kit, chassis, plate index and hand that readings name
-- source: readings, plates (the row of the chassis before the row for any chassis)
-- missing: a blank plate_index is a row of its own; the numbers are NULL with the reason in missing
-- offset_out_mm = out_mm + out_mm_per_mark_1 * mark_1 + out_mm_per_mark_2 * mark_2, and so rearward.
-- column kit VARCHAR: kit
-- column chassis VARCHAR: platform code
-- column plate_index INTEGER: bolt position as written
-- column other_hand BOOLEAN: the plate is of the other side's hand
-- column known_index INTEGER: bolt position, 1 where the kit has one only
-- column one_scale BOOLEAN: the kit has no second scale
-- column out_mm DOUBLE [mm]: bearing centre at marks 0, outboard of the original mount's
-- column out_mm_per_mark_1 DOUBLE [mm/mark]: outboard per mark of the first scale
-- column out_mm_per_mark_2 DOUBLE [mm/mark]: outboard per mark of the second scale
-- column aft_mm DOUBLE [mm]: bearing centre at marks 0, rearward
-- column aft_mm_per_mark_1 DOUBLE [mm/mark]: rearward per mark of the first scale
-- column aft_mm_per_mark_2 DOUBLE [mm/mark]: rearward per mark of the second scale
-- column read_error_oo_mm2 DOUBLE [mm2]: variance of the offset from reading the pointer, outboard
-- column read_error_oa_mm2 DOUBLE [mm2]: its covariance
-- column read_error_aa_mm2 DOUBLE [mm2]: its variance rearward
-- column missing VARCHAR: why no mark tells the offset
with
named as (
    select distinct
        kit,
        chassis,
        plate_index,
        coalesce(plate_hand <> case when corner like '%L' then 'left' else 'right' end, false) as other_hand
    from readings
    where kit is not null
),
-- The kit's row for this chassis wins over its row for any chassis.
described as (
    select
        named.*,
        plates.* exclude (kit, chassis),
        not coalesce(two_scales, false) as one_scale,
        case when index_count = 1 then coalesce(plate_index, 1) else plate_index end as known_index,
        (coalesce(plate_index, 1) - 1) * index_step_deg as turn_deg,
        radians(axis_deg + turn_deg) as direction,
        case
            when plates.kit is null then 'kit is not in the kits table'
            when known_index is null then 'plate_index is blank'
            when known_index not between 1 and index_count then 'plate_index is over the index_count of the kit'
        end as missing
    from named
    left join plates on plates.kit = named.kit and (plates.chassis = named.chassis or plates.chassis is null)
    qualify row_number() over (
        partition by named.kit, named.chassis, plate_index, other_hand order by plates.chassis nulls last
    ) = 1
),
-- In millionths of a millimetre, since plate_offset rounds to a millionth.
placed as (
    select
        *,
        case
            when missing is null
            then plate_offset(0, 0, pitch_mm, axis_deg, centre_out_mm * 1e6, centre_aft_mm * 1e6, turn_deg, other_hand)
        end as zero,
        case when missing is null
            then plate_offset(1e6, 0, pitch_mm, axis_deg, 0, 0, turn_deg, other_hand) end as first_mark,
        case when missing is null
            then plate_offset(0, 1e6, pitch_mm, axis_deg, 0, 0, turn_deg, other_hand) end as second_mark
    from described
)
select
    kit,
    chassis,
    plate_index,
    other_hand,
    known_index,
    one_scale,
    zero.out_mm / 1e6 as out_mm,
    first_mark.out_mm / 1e6 as out_mm_per_mark_1,
    second_mark.out_mm / 1e6 as out_mm_per_mark_2,
    zero.aft_mm / 1e6 as aft_mm,
    first_mark.aft_mm / 1e6 as aft_mm_per_mark_1,
    second_mark.aft_mm / 1e6 as aft_mm_per_mark_2,
    mark_error_mm2 * case when one_scale then power(cos(direction), 2) else 1 end as read_error_oo_mm2,
    mark_error_mm2
        * case when one_scale then sin(direction) * cos(direction) * case when other_hand then -1 else 1 end else 0 end
        as read_error_oa_mm2,
    mark_error_mm2 * case when one_scale then power(sin(direction), 2) else 1 end as read_error_aa_mm2,
    missing
from placed
