-- title: States that were read more than once
-- grain: one row per vehicle, corner, visit and phase with a repeat over 1; the readings averaged, those of one set of conditions only (level 1 of condition_levels)
-- source: placements, condition_levels
-- missing: an angle without any reading is NULL; the offset is NULL where repeats of one state disagree about it
-- column chassis VARCHAR: platform code
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR RL RR
-- column visit VARCHAR: visit
-- column visit_kind VARCHAR: install adjust session check
-- column phase VARCHAR: before moved after
-- column phase_order INTEGER: 1 before, 2 moved, 3 after
-- column measured_ts TIMESTAMP: first reading of the state, local wall time
-- column instant_ts TIMESTAMP: the same on the scale of placements
-- column session VARCHAR: the running that the visit encloses
-- column kit VARCHAR: NULL = original mount
-- column plate_hand VARCHAR: left right
-- column plate_index INTEGER: bolt position
-- column mark_1 DOUBLE [marks]: pointer on the first scale
-- column mark_2 DOUBLE [marks]: pointer on the second scale
-- column offset_out_mm DOUBLE [mm]: bearing centre outboard of the original mount's
-- column offset_aft_mm DOUBLE [mm]: bearing centre rearward of the original mount's
-- column read_error_oo_mm2 DOUBLE [mm2]: variance of the offset from reading the pointer, outboard
-- column read_error_oa_mm2 DOUBLE [mm2]: its covariance
-- column read_error_aa_mm2 DOUBLE [mm2]: its variance rearward
-- column camber_deg DOUBLE [deg]: mean reading
-- column caster_deg DOUBLE [deg]: mean reading
-- column toe_deg DOUBLE [deg]: mean reading, per wheel
-- column sai_deg DOUBLE [deg]: mean reading
-- column camber_count BIGINT: readings in the mean
-- column caster_count BIGINT: readings in the mean
-- column toe_count BIGINT: readings in the mean
-- column sai_count BIGINT: readings in the mean
-- column mounting_count DOUBLE: mountings of the gauge that the mean is of; fewer where one holds most of the readings
-- column toe_reset BOOLEAN: tie rods were turned since the previous state of this visit
-- column gauge VARCHAR: measuring equipment, NULL where repeats differ
-- column technician VARCHAR: who measured, NULL where repeats differ
-- column target VARCHAR: what an after was set to
-- column source_file VARCHAR: file of the first reading
-- column source_line INTEGER: line of the first reading
with
repeated as (
    select distinct vehicle, corner, visit, phase from placements where repeat > 1
),
mounted as (
    select
        *,
        count(*) filter (where remounted and repeat > 1) over (
            partition by vehicle, corner, visit, phase, gauge order by repeat
        ) as mounting
    from placements
    semi join repeated using (vehicle, corner, visit, phase)
    anti join (select * from condition_levels where level > 1) as other_levels
        using (vehicle, corner, visit, phase, repeat)
),
counted as (
    select *, count(*) over (partition by vehicle, corner, visit, phase, gauge, mounting) as mates from mounted
),
averaged as (
    select
        vehicle,
        corner,
        visit,
        phase,
        phase_order,
        min_by(chassis, repeat) as chassis,
        min_by(visit_kind, repeat) as visit_kind,
        min(measured_ts) as measured_ts,
        min(instant_ts) as instant_ts,
        min(session) as session,
        min(kit) as kit,
        min(plate_hand) as plate_hand,
        min(plate_index) as plate_index,
        exact_mean(mark_1) as mark_1,
        exact_mean(mark_2) as mark_2,
        -- Repeats are readings of one state: where they name several places, none of them is known.
        count(distinct coalesce(kit, '')) = 1
            and count(offset_out_mm) = count(*)
            and max(offset_out_mm) - min(offset_out_mm) < 1e-3
            and max(offset_aft_mm) - min(offset_aft_mm) < 1e-3 as placed,
        exact_mean(offset_out_mm) as offset_out_mm,
        exact_mean(offset_aft_mm) as offset_aft_mm,
        max(read_error_oo_mm2) as read_error_oo_mm2,
        min_by(read_error_oa_mm2, repeat) as read_error_oa_mm2,
        max(read_error_aa_mm2) as read_error_aa_mm2,
        exact_mean(camber_deg) as camber_deg,
        exact_mean(caster_deg) as caster_deg,
        exact_mean(toe_deg) as toe_deg,
        exact_mean(sai_deg) as sai_deg,
        count(camber_deg) as camber_count,
        count(caster_deg) as caster_count,
        count(toe_deg) as toe_count,
        count(sai_deg) as sai_count,
        cast(count(*) as double) * count(*) / sum(mates) as mounting_count,
        bool_or(toe_reset) as toe_reset,
        case when min(gauge) = max(gauge) then min(gauge) end as gauge,
        case when min(technician) = max(technician) then min(technician) end as technician,
        min(target) as target,
        min_by(source_file, repeat) as source_file,
        min_by(source_line, repeat) as source_line
    from counted
    group by vehicle, corner, visit, phase, phase_order
)
select
    chassis,
    vehicle,
    corner,
    visit,
    visit_kind,
    phase,
    phase_order,
    measured_ts,
    instant_ts,
    session,
    kit,
    plate_hand,
    plate_index,
    mark_1,
    mark_2,
    case when placed then offset_out_mm end as offset_out_mm,
    case when placed then offset_aft_mm end as offset_aft_mm,
    read_error_oo_mm2,
    read_error_oa_mm2,
    read_error_aa_mm2,
    camber_deg,
    caster_deg,
    toe_deg,
    sai_deg,
    camber_count,
    caster_count,
    toe_count,
    sai_count,
    mounting_count,
    toe_reset,
    gauge,
    technician,
    target,
    source_file,
    source_line
from averaged
