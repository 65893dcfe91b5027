-- title: Measured states
-- grain: one row per vehicle, corner, visit and phase; repeated readings averaged, see repeated_states
-- source: placements, repeated_states, reordered_states
-- missing: an angle without any reading is NULL; the offset is NULL where repeats of one state disagree about it
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
-- column mounting_count DOUBLE: mountings of the gauge, see repeated_states
-- column toe_reset BOOLEAN: tie rods were turned since the previous state of this visit
-- column gauge VARCHAR: measuring equipment, NULL where repeats differ
-- column technician VARCHAR: who measured, NULL where repeats differ
-- column target VARCHAR: what an after was set to
-- column source_file VARCHAR: file of the first reading
-- column source_line INTEGER: line of the first reading
with
-- A state with a single reading is that reading, to the millionth as a mean is.
own_times as (
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
        round(mark_1 * 1e6) / 1e6 + 0.0 as mark_1,
        round(mark_2 * 1e6) / 1e6 + 0.0 as mark_2,
        round(offset_out_mm * 1e6) / 1e6 + 0.0 as offset_out_mm,
        round(offset_aft_mm * 1e6) / 1e6 + 0.0 as offset_aft_mm,
        read_error_oo_mm2,
        read_error_oa_mm2,
        read_error_aa_mm2,
        round(camber_deg * 1e6) / 1e6 + 0.0 as camber_deg,
        round(caster_deg * 1e6) / 1e6 + 0.0 as caster_deg,
        round(toe_deg * 1e6) / 1e6 + 0.0 as toe_deg,
        round(sai_deg * 1e6) / 1e6 + 0.0 as sai_deg,
        cast(camber_deg is not null as bigint) as camber_count,
        cast(caster_deg is not null as bigint) as caster_count,
        cast(toe_deg is not null as bigint) as toe_count,
        cast(sai_deg is not null as bigint) as sai_count,
        cast(1 as double) as mounting_count,
        toe_reset,
        gauge,
        technician,
        target,
        source_file,
        source_line
    from placements
    anti join repeated_states using (vehicle, corner, visit, phase)
    union all
    select * from repeated_states
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
left join (select * exclude (chassis) from reordered_states) as reordered_states using (vehicle, corner, visit, phase)
