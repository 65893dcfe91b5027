-- title: Measured states
-- grain: one row per vehicle, corner, visit and phase; repeated readings averaged, those of one set of conditions only (level 1 of condition_levels)
-- source: placements, condition_levels, readings
-- missing: an angle without any reading is NULL; the offset is NULL with the reason in offset_missing, where repeats disagree about it too
-- Order: a date without a clock time stands at the first clock time of its visit on that day, else at midnight; no phase stands ahead
-- of the phases before it.
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
    select * exclude (measured_at, offset_source, caster_method), has_clock(measured_at) as clocked from placements
),
-- Visits of states that may be ordered by another time than their own. Hashes stand for the keys, which are slow to group.
doubtful as (
    select any_value(vehicle) as vehicle, any_value(visit) as visit
    from reads
    group by hash(vehicle, visit)
    having bool_or(clocked) <> bool_and(clocked)
        or max(instant_ts) filter (where phase_order = 1) > min(instant_ts) filter (where phase_order > 1)
        or max(instant_ts) filter (where phase_order = 2) > min(instant_ts) filter (where phase_order = 3)
),
timed as (
    select
        vehicle,
        corner,
        visit,
        phase,
        phase_order,
        cast(min(measured_ts) as date) as day,
        min(instant_ts) as first_ts,
        min(case when clocked then instant_ts end) as clock_ts
    from reads
    semi join doubtful using (vehicle, visit)
    group by vehicle, corner, visit, phase, phase_order
),
filled as (
    select *, coalesce(clock_ts, min(clock_ts) over (partition by vehicle, visit, day), first_ts) as known_ts
    from timed
),
reordered as (
    select
        vehicle,
        corner,
        visit,
        phase,
        max(known_ts) over (partition by vehicle, corner, visit order by phase_order) as ordered_ts
    from filled
    qualify ordered_ts is distinct from first_ts
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
        min(columns('^(measured_ts|instant_ts|session|kit|plate_hand|plate_index|target)$')) as "\0",
        -- Repeats are readings of one state: where they name several places, none of them is known.
        min(coalesce(kit, '')) = max(coalesce(kit, ''))
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
        exact_mean(columns('^mark_|_deg$')) as "\0",
        count(columns('^(.*)_deg$')) as "\1_count",
        cast(count(*) as double) * count(*) / sum(mates) as mounting_count,
        bool_or(toe_reset) as toe_reset,
        case when min(gauge) = max(gauge) then min(gauge) end as gauge,
        case when min(technician) = max(technician) then min(technician) end as technician,
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
        columns('^(vehicle|chassis|corner|visit|phase|session|kit|plate|read_error|gauge|technician|target|source)'),
        measured_ts,
        instant_ts,
        offset_missing,
        toe_reset,
        round(columns('^mark_|^offset_.*_mm$|_deg$') * 1e6) / 1e6 + 0.0 as "\0",
        cast(columns('^(.*)_deg$') is not null as bigint) as "\1_count",
        cast(1 as double) as mounting_count
    from reads
    anti join repeated using (vehicle, corner, visit, phase)
)
select
    chassis, vehicle, corner, visit, visit_kind, phase, phase_order, measured_ts,
    coalesce(ordered_ts, instant_ts) as ordered_ts,
    session, kit, plate_hand, plate_index, mark_1, mark_2, offset_out_mm, offset_aft_mm, offset_missing,
    read_error_oo_mm2, read_error_oa_mm2, read_error_aa_mm2, camber_deg, caster_deg, toe_deg, sai_deg, camber_count,
    caster_count, toe_count, sai_count, mounting_count, toe_reset, gauge, technician, target, source_file, source_line
from own_times
left join reordered using (vehicle, corner, visit, phase)
