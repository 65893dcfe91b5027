-- title: Readings with the bearing's place in the vehicle frame
-- grain: one row per reading
-- source: readings, plate_positions, assumed_zones
-- kept: as a view
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
-- column instant_ts TIMESTAMP: UTC where a reading of the car gives a zone (assumed_zones for those without), else local wall time
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
-- column caster_method VARCHAR: sweep direct; NULL = not told
-- column remounted BOOLEAN: gauge and clamps were taken off and put on again before this reading; NULL = not told
-- column gauge VARCHAR: measuring equipment
-- column technician VARCHAR: who measured
-- column target VARCHAR: what an after was set to
-- column source_file VARCHAR: file of the reading
-- column source_line INTEGER: physical line in that file
with
sided as (
    select
        vehicle,
        chassis,
        corner,
        visit,
        visit_kind,
        phase,
        repeat,
        measured_at,
        session,
        kit,
        plate_hand,
        plate_index,
        mark_1,
        mark_2,
        offset_out_mm,
        offset_aft_mm,
        camber_deg,
        caster_deg,
        toe_deg,
        sai_deg,
        toe_reset,
        caster_method,
        remounted,
        gauge,
        technician,
        target,
        source_file,
        source_line,
        case when corner like '%L' then 'left' else 'right' end as side,
        coalesce(plate_hand <> side, false) as other_hand
    from readings
),
placed as (
    select
        sided.*,
        positions.missing,
        assumed_minutes,
        case when sided.kit is null then sided.plate_index else known_index end as known_index,
        case when mark_1 is not null and coalesce(one_scale, true) then coalesce(mark_2, 0)
            else mark_2 end as known_mark_2,
        case
            when sided.kit is null then 0
            else round((out_mm + out_mm_per_mark_1 * mark_1 + out_mm_per_mark_2 * known_mark_2) * 1e6) / 1e6
        end as marked_out_mm,
        case
            when sided.kit is null then 0
            else round((aft_mm + aft_mm_per_mark_1 * mark_1 + aft_mm_per_mark_2 * known_mark_2) * 1e6) / 1e6
        end as marked_aft_mm,
        coalesce(offset_out_mm, marked_out_mm) as known_out_mm,
        coalesce(offset_aft_mm, marked_aft_mm) as known_aft_mm,
        offset_out_mm is not null and offset_aft_mm is not null as measured,
        case when sided.kit is null then 0 else read_error_oo_mm2 end as read_error_oo_mm2,
        case when sided.kit is null then 0 else read_error_oa_mm2 end as read_error_oa_mm2,
        case when sided.kit is null then 0 else read_error_aa_mm2 end as read_error_aa_mm2
    from sided
    left join plate_positions as positions
        on positions.kit = sided.kit
        and positions.chassis = sided.chassis
        and positions.plate_index is not distinct from sided.plate_index
        and positions.other_hand = sided.other_hand
    left join assumed_zones
        on assumed_zones.vehicle = sided.vehicle
        and assumed_zones.corner = sided.corner
        and assumed_zones.visit = sided.visit
        and assumed_zones.phase = sided.phase
        and assumed_zones.repeat = coalesce(sided.repeat, 1)
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
    wall_time(measured_at) as measured_ts,
    wall_time(measured_at) - to_minutes(coalesce(zone_minutes(measured_at), assumed_minutes, 0)) as instant_ts,
    session,
    kit,
    case when kit is not null then coalesce(plate_hand, side) end as plate_hand,
    known_index as plate_index,
    mark_1,
    known_mark_2 as mark_2,
    case when known_aft_mm is not null then known_out_mm end as offset_out_mm,
    case when known_out_mm is not null then known_aft_mm end as offset_aft_mm,
    case
        when measured then 'measured'
        when known_out_mm is null or known_aft_mm is null then null
        when kit is null and offset_out_mm is null and offset_aft_mm is null then 'original'
        else 'marks'
    end as offset_source,
    case
        when known_out_mm is not null and known_aft_mm is not null then null
        when offset_out_mm is not null then 'offset_aft_mm is blank'
        when offset_aft_mm is not null then 'offset_out_mm is blank'
        when missing is not null then missing
        when mark_1 is null then 'mark_1 is blank'
        else 'mark_2 is blank'
    end as offset_missing,
    -- Offsets are measured to a tenth of a millimetre.
    case when measured then 0.01 / 12 else read_error_oo_mm2 end as read_error_oo_mm2,
    case when measured then 0 else read_error_oa_mm2 end as read_error_oa_mm2,
    case when measured then 0.01 / 12 else read_error_aa_mm2 end as read_error_aa_mm2,
    camber_deg,
    caster_deg,
    toe_deg,
    sai_deg,
    coalesce(
        toe_reset, case when phase = 'after' and visit_kind in ('install', 'adjust') then 'yes' else 'no' end
    ) = 'yes' as toe_reset,
    caster_method,
    remounted = 'yes' as remounted,
    gauge,
    technician,
    target,
    source_file,
    source_line
from placed
