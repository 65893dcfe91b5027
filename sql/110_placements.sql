-- title: Readings with the bearing's place in the vehicle frame
-- grain: one row per reading
-- source: readings, kits (the row of the chassis before the row for any chassis)
-- missing: offset_out_mm and offset_aft_mm are NULL together, with the reason in offset_missing
-- column vehicle VARCHAR: one car
-- column chassis VARCHAR: platform code
-- column corner VARCHAR: FL FR RL RR
-- column visit VARCHAR: one visit to the workshop or check in the paddock
-- column visit_kind VARCHAR: install adjust session check
-- column phase VARCHAR: before moved after
-- column phase_order INTEGER: 1 before, 2 moved, 3 after
-- column repeat INTEGER: n-th reading of the same state
-- column measured_at VARCHAR: when, as written
-- column measured_ts TIMESTAMP: the same as local wall time, zone left out
-- column session VARCHAR: the running that the visit encloses
-- column kit VARCHAR: NULL = original mount
-- column plate_hand VARCHAR: left right, the corner's own side where it was blank; NULL without a kit
-- column plate_index INTEGER: bolt position; NULL where not known
-- column mark_1 DOUBLE [marks]: pointer on the first scale
-- column mark_2 DOUBLE [marks]: pointer on the second scale, 0 where the kit has one scale only
-- column offset_out_mm DOUBLE [mm]: bearing centre outboard of the original mount's
-- column offset_aft_mm DOUBLE [mm]: bearing centre rearward of the original mount's
-- column offset_source VARCHAR: measured marks original; NULL where not known
-- column offset_missing VARCHAR: why the offset is not known
-- column read_error_oo_mm2 DOUBLE [mm2]: variance of the offset from reading the pointer, outboard
-- column read_error_oa_mm2 DOUBLE [mm2]: its covariance
-- column read_error_aa_mm2 DOUBLE [mm2]: its variance rearward
-- column camber_deg DOUBLE [deg]: as read
-- column caster_deg DOUBLE [deg]: as read
-- column toe_deg DOUBLE [deg]: per wheel, as read
-- column sai_deg DOUBLE [deg]: as read
-- column toe_reset BOOLEAN: tie rods were turned since the previous reading of this visit
-- column gauge VARCHAR: measuring equipment
-- column technician VARCHAR: who measured
-- column target VARCHAR: what an after was set to
-- column source_file VARCHAR: file of the reading
-- column source_line INTEGER: physical line in that file
with
fitted as (
    select
        readings.*,
        case when corner like 'F%' then kit end as plate_kit,
        case
            when kit is null then null
            else coalesce(plate_hand, case when corner like '%L' then 'left' else 'right' end)
        end as hand
    from readings
),
-- The kit's row for this chassis wins over its row for any chassis.
described as (
    select
        fitted.*,
        own.kit is not null or common.kit is not null as kit_known,
        case when own.kit is not null then own.mark_pitch_mm else common.mark_pitch_mm end as pitch_mm,
        coalesce(case when own.kit is not null then own.index_count else common.index_count end, 3) as index_count,
        coalesce(case when own.kit is not null then own.index_step_deg else common.index_step_deg end, 120) as step_deg,
        coalesce(case when own.kit is not null then own.axis_deg else common.axis_deg end, 0) as axis_deg,
        coalesce(case when own.kit is not null then own.centre_out_mm else common.centre_out_mm end, 0) as centre_out_mm,
        coalesce(case when own.kit is not null then own.centre_aft_mm else common.centre_aft_mm end, 0) as centre_aft_mm,
        coalesce(case when own.kit is not null then own.mark_resolution else common.mark_resolution end, 0.5) as resolution,
        case
            when own.kit is not null then coalesce(own.mark2_min, 0) = 0 and coalesce(own.mark2_max, 0) = 0
            else coalesce(common.mark2_min, 0) = 0 and coalesce(common.mark2_max, 0) = 0
        end as one_scale
    from fitted
    left join kits as own on own.kit = fitted.kit and own.chassis = fitted.chassis
    left join kits as common on common.kit = fitted.kit and common.chassis is null
),
indexed as (
    select
        described.* replace (
            case when index_count = 1 then coalesce(plate_index, 1) else plate_index end as plate_index,
            case when one_scale and mark_1 is not null then coalesce(mark_2, 0) else mark_2 end as mark_2
        ),
        (coalesce(plate_index, 1) - 1) * step_deg as turn_deg
    from described
),
placed as (
    select
        indexed.*,
        case
            when kit is null then {'out_mm': 0.0, 'aft_mm': 0.0}
            when kit_known and plate_index between 1 and index_count and mark_1 is not null and mark_2 is not null
            then plate_offset(
                mark_1, mark_2, pitch_mm, axis_deg, centre_out_mm, centre_aft_mm, turn_deg,
                hand <> case when corner like '%L' then 'left' else 'right' end
            )
        end as from_marks,
        power(pitch_mm * resolution, 2) / 12 as mark_error_mm2,
        radians(axis_deg + turn_deg) as direction
    from indexed
)
select
    vehicle,
    chassis,
    corner,
    visit,
    visit_kind,
    phase,
    case phase when 'before' then 1 when 'moved' then 2 else 3 end as phase_order,
    coalesce(repeat, 1) as repeat,
    measured_at,
    try_cast(left(replace(measured_at, ',', '.'), 19) as timestamp) as measured_ts,
    session,
    kit,
    hand as plate_hand,
    plate_index,
    mark_1,
    mark_2,
    case when coalesce(offset_aft_mm, from_marks.aft_mm) is not null then coalesce(offset_out_mm, from_marks.out_mm) end as offset_out_mm,
    case when coalesce(offset_out_mm, from_marks.out_mm) is not null then coalesce(offset_aft_mm, from_marks.aft_mm) end as offset_aft_mm,
    case
        when offset_out_mm is not null and offset_aft_mm is not null then 'measured'
        when coalesce(offset_out_mm, from_marks.out_mm) is null or coalesce(offset_aft_mm, from_marks.aft_mm) is null then null
        when kit is null and offset_out_mm is null and offset_aft_mm is null then 'original'
        else 'marks'
    end as offset_source,
    case
        when coalesce(offset_out_mm, from_marks.out_mm) is not null and coalesce(offset_aft_mm, from_marks.aft_mm) is not null then null
        when offset_out_mm is not null then 'offset_aft_mm is blank'
        when offset_aft_mm is not null then 'offset_out_mm is blank'
        when not kit_known then 'kit is not in the kits table'
        when plate_index is null then 'plate_index is blank'
        when plate_index > index_count then 'plate_index is over the index_count of the kit'
        when mark_1 is null then 'mark_1 is blank'
        else 'mark_2 is blank'
    end as offset_missing,
    case
        when offset_out_mm is not null and offset_aft_mm is not null then power(0.1, 2) / 12
        when kit is null then 0
        when one_scale then mark_error_mm2 * power(cos(direction), 2)
        else mark_error_mm2
    end as read_error_oo_mm2,
    case
        when offset_out_mm is not null and offset_aft_mm is not null then 0
        when kit is null or not one_scale then 0
        else mark_error_mm2 * sin(direction) * cos(direction)
            * case when hand <> case when corner like '%L' then 'left' else 'right' end then -1 else 1 end
    end as read_error_oa_mm2,
    case
        when offset_out_mm is not null and offset_aft_mm is not null then power(0.1, 2) / 12
        when kit is null then 0
        when one_scale then mark_error_mm2 * power(sin(direction), 2)
        else mark_error_mm2
    end as read_error_aa_mm2,
    camber_deg,
    caster_deg,
    toe_deg,
    sai_deg,
    case coalesce(toe_reset, case when phase = 'after' and visit_kind in ('install', 'adjust') then 'yes' else 'no' end)
        when 'yes' then true else false
    end as toe_reset,
    gauge,
    technician,
    target,
    source_file,
    source_line
from placed
