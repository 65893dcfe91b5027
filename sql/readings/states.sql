-- title: Measured states
-- grain: one row per vehicle, corner, visit and phase; repeated readings averaged, those of one set of conditions only (level 1 of condition_levels)
-- source: placements, condition_levels, readings, reordered_states
-- missing: an angle without any reading is NULL; the offset is NULL with the reason in offset_missing, where repeats disagree about it too
-- column chassis VARCHAR: platform code
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR RL RR
-- column visit VARCHAR: visit
-- column visit_kind VARCHAR: install adjust session check
-- column phase VARCHAR: before moved after
-- column phase_order INTEGER: 1 before, 2 moved, 3 after
-- column measured_ts TIMESTAMP: first reading of the state, local wall time
-- column ordered_ts TIMESTAMP: for the order of the car's states, see place_in_time: on the scale of instant_ts in placements; phases follow each other
-- column session VARCHAR: the running that the visit encloses
-- column kit VARCHAR: NULL = original mount
-- column plate_hand VARCHAR: left right
-- column plate_index INTEGER: bolt position
-- column mark_1 DOUBLE [marks]: pointer on the first scale
-- column mark_2 DOUBLE [marks]: pointer on the second scale
-- column offset_out_mm DOUBLE [mm]: bearing centre outboard of the original mount's
-- column offset_aft_mm DOUBLE [mm]: bearing centre rearward of the original mount's
-- column offset_missing VARCHAR: why the offset is not known
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
-- column mounting_count DOUBLE: mountings of the gauge: each repeat that was remounted begins one
-- column toe_reset BOOLEAN: tie rods were turned since the previous state of this visit
-- column gauge VARCHAR: measuring equipment, NULL where repeats differ
-- column technician VARCHAR: who measured, NULL where repeats differ
-- column target VARCHAR: what an after was set to
-- column source_file VARCHAR: file of the first reading
-- column source_line INTEGER: line of the first reading
with
reads as materialized (
    select * exclude (measured_at, offset_source, caster_method) from placements
),
repeated as (
    select distinct vehicle, corner, visit, phase from readings where repeat > 1
),
mounted as (
    select
        *,
        count(*) filter (where remounted and repeat > 1) over (
            partition by vehicle, corner, visit, phase, gauge order by repeat
        ) as mounting
    from reads
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
        case when placed then exact_mean(offset_out_mm) end as offset_out_mm,
        case when placed then exact_mean(offset_aft_mm) end as offset_aft_mm,
        case when not placed
            then coalesce(min(offset_missing), 'the repeats of this state name different places') end as offset_missing,
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
),
own_times as (
    select * exclude (placed) from averaged
    union all by name
    -- A state with a single reading is that reading, to the millionth as a mean is.
    select
        reads.* exclude (repeat, remounted) replace (
            round(mark_1 * 1e6) / 1e6 + 0.0 as mark_1,
            round(mark_2 * 1e6) / 1e6 + 0.0 as mark_2,
            round(offset_out_mm * 1e6) / 1e6 + 0.0 as offset_out_mm,
            round(offset_aft_mm * 1e6) / 1e6 + 0.0 as offset_aft_mm,
            round(camber_deg * 1e6) / 1e6 + 0.0 as camber_deg,
            round(caster_deg * 1e6) / 1e6 + 0.0 as caster_deg,
            round(toe_deg * 1e6) / 1e6 + 0.0 as toe_deg,
            round(sai_deg * 1e6) / 1e6 + 0.0 as sai_deg
        ),
        cast(camber_deg is not null as bigint) as camber_count,
        cast(caster_deg is not null as bigint) as caster_count,
        cast(toe_deg is not null as bigint) as toe_count,
        cast(sai_deg is not null as bigint) as sai_count,
        cast(1 as double) as mounting_count
    from reads
    anti join repeated using (vehicle, corner, visit, phase)
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
    coalesce(ordered_ts, instant_ts) as ordered_ts,
    session,
    kit,
    plate_hand,
    plate_index,
    mark_1,
    mark_2,
    offset_out_mm,
    offset_aft_mm,
    offset_missing,
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
from own_times
left join reordered_states using (vehicle, corner, visit, phase)
