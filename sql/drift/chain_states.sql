-- title: States of cars with sessions, in time order, with their readers
-- grain: one row per state of a vehicle with a session visit or a session
-- source: states, sessions, readings, readers, repeated_readings
-- kept: as a view
-- missing: an angle without any reading is NULL
-- column chassis VARCHAR: platform code
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR RL RR
-- column visit VARCHAR: visit
-- column visit_kind VARCHAR: install adjust session check
-- column phase VARCHAR: before moved after
-- column phase_order INTEGER: 1 before, 2 moved, 3 after
-- column session VARCHAR: the running that the visit encloses
-- column measured_ts TIMESTAMP: first reading of the state, local wall time
-- column ordered_ts TIMESTAMP: for the order of the car's states, see states
-- column kit VARCHAR: NULL = original mount
-- column plate_hand VARCHAR: left right
-- column plate_index INTEGER: bolt position
-- column mark_1 DOUBLE [marks]: pointer on the first scale
-- column mark_2 DOUBLE [marks]: pointer on the second scale
-- column offset_out_mm DOUBLE [mm]: bearing centre outboard of the original mount's
-- column offset_aft_mm DOUBLE [mm]: bearing centre rearward of the original mount's
-- column pointer_var_mm2 DOUBLE [mm2]: variance of either part of the offset from reading the pointer
-- column camber_deg DOUBLE [deg]: mean reading
-- column caster_deg DOUBLE [deg]: mean reading
-- column toe_deg DOUBLE [deg]: mean reading, per wheel
-- column sai_deg DOUBLE [deg]: mean reading
-- column camber_count BIGINT: readings in the mean
-- column caster_count BIGINT: readings in the mean
-- column toe_count BIGINT: readings in the mean
-- column sai_count BIGINT: readings in the mean
-- column toe_reset BOOLEAN: tie rods were turned since the previous state of this visit
-- column height_mm DOUBLE [mm]: median of the ride heights that were written
-- column reader BIGINT: number in readers; less than 0: the negative of mixture in repeated_readings
with
mixed as (
    select distinct vehicle, corner, visit, phase, -mixture as reader from repeated_readings where mixture is not null
),
heights as (
    select vehicle, corner, visit, phase, median(ride_height_mm) as height_mm
    from readings
    where ride_height_mm is not null
    group by vehicle, corner, visit, phase
),
ran as (
    select vehicle from states where visit_kind = 'session'
    union
    select vehicle from sessions
)
select
    states.chassis,
    states.vehicle,
    states.corner,
    states.visit,
    states.visit_kind,
    states.phase,
    states.phase_order,
    states.session,
    states.measured_ts,
    states.ordered_ts,
    states.kit,
    states.plate_hand,
    states.plate_index,
    states.mark_1,
    states.mark_2,
    states.offset_out_mm,
    states.offset_aft_mm,
    greatest(states.read_error_oo_mm2, states.read_error_aa_mm2) as pointer_var_mm2,
    states.camber_deg,
    states.caster_deg,
    states.toe_deg,
    states.sai_deg,
    states.camber_count,
    states.caster_count,
    states.toe_count,
    states.sai_count,
    states.toe_reset,
    heights.height_mm,
    coalesce(mixed.reader, readers.reader) as reader
from states
semi join ran on ran.vehicle = states.vehicle
left join mixed
    on mixed.vehicle = states.vehicle and mixed.corner = states.corner and mixed.visit = states.visit
    and mixed.phase = states.phase
left join readers on readers.gauge is not distinct from states.gauge
    and readers.technician is not distinct from states.technician
left join heights
    on heights.vehicle = states.vehicle and heights.corner = states.corner and heights.visit = states.visit
    and heights.phase = states.phase
