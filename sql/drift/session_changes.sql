-- title: Corners over a session, by the whole record of the car
-- grain: one row per session visit and corner with a state before or after, and per run without a visit of its own that readings enclose
-- source: chain_states, sessions, changes, states of session visits, plates, chassis_casters, reader_noise, reader_biases, session_vars, sensitivities
-- missing: changes are NULL where an angle tells nothing of one side; all of them with the reason in missing
-- computed by: src/stats/tables, written as its rows come
-- given whole: reader_noise, reader_biases, session_vars, sensitivities
-- A record is a chain: readings between two disturbances measure one state and are pooled, see src/stats/drift/chain.ts; a session is
-- judged by what is known on both sides of it. A change of the car ends what is pooled and compared. Where a car was not read right after a session, the next state tells, with what was set
-- on purpose taken off. Where gauge or person differ, the difference of their biases is taken off and its variance added.
-- column chassis VARCHAR: platform code
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR RL RR
-- column visit VARCHAR: visit
-- column session VARCHAR: the running that the visit encloses
-- column sessions VARCHAR: all runs between the two readings, in time order, where there is more than one or the visit names none
-- column after_visit VARCHAR: visit of the state after the session; NULL = this visit
-- column measured_ts TIMESTAMP: after the session (or before, where that is all), local wall time
-- column ordered_ts TIMESTAMP: for the order of the car's sessions, see states
-- column kit VARCHAR: NULL = original mount
-- column plate_hand VARCHAR: left right
-- column plate_index INTEGER: bolt position
-- column mark_1 DOUBLE [marks]: pointer before
-- column mark_2 DOUBLE [marks]: pointer before
-- column pitch_mm DOUBLE [mm]: travel of one mark
-- column freedom VARCHAR: slot (the plate slides along one line), plane (two scales, or not known which line), none (original mount)
-- column slot_out DOUBLE: direction of the first scale in the vehicle frame, outboard part of the unit vector
-- column slot_aft DOUBLE: rearward part
-- column low_mm DOUBLE [mm]: farthest slide along the slot to its lower end; NULL where not known
-- column high_mm DOUBLE [mm]: to its upper end
-- column pointer_out_mm DOUBLE [mm]: change of the offset by the pointers where they were found elsewhere in the visit
-- column pointer_aft_mm DOUBLE [mm]: its rearward part
-- column pointer_var_mm2 DOUBLE [mm2]: variance of either from reading the pointers
-- column height_mm DOUBLE [mm]: change of the ride height as written
-- column height_var_mm2 DOUBLE [mm2]: variance of reading it
-- column tan_caster DOUBLE: tangent of caster
-- column equal_toe BOOLEAN: toe is known before and after, so that camber is compared at equal toe
-- column camber_read_deg DOUBLE [deg]: change of camber as read
-- column caster_read_deg DOUBLE [deg]: change of caster as read
-- column sai_read_deg DOUBLE [deg]: change of SAI as read
-- column toe_read_deg DOUBLE [deg]: change of toe as read, tie rods untouched
-- column camber_deg DOUBLE [deg]: change of camber by the whole record, where the corner moved, at equal toe where equal_toe
-- column camber_var_deg2 DOUBLE [deg2]: its variance, sizes of causes left out
-- column caster_deg DOUBLE [deg]: change of caster by the whole record, where the corner moved
-- column caster_var_deg2 DOUBLE [deg2]: its variance, sizes of causes left out
-- column sai_deg DOUBLE [deg]: change of SAI by the whole record, where the corner moved
-- column sai_var_deg2 DOUBLE [deg2]: its variance, sizes of causes left out
-- column toe_deg DOUBLE [deg]: change of toe by the whole record, where the corner moved
-- column toe_var_deg2 DOUBLE [deg2]: its variance, sizes of causes left out
-- column parts DOUBLE[]: where the record leaves more than one change possible, of each its weight, camber, caster, SAI and toe, deg, and their variances, deg2, one after the other; else NULL
-- column held_log DOUBLE: ln of the density of these angles where the corner held, by what may have followed, constants left out
-- column missing VARCHAR: why the corner cannot be compared
select
    states.* exclude (plate, measured_ts, ordered_ts),
    epoch_us(measured_ts) as measured_ts,
    epoch_us(ordered_ts) as ordered_ts,
    chassis_casters.caster_deg as chassis_caster_deg,
    plate.pitch_mm as pitch_mm,
    plate.mark_min as mark_min,
    plate.mark_max as mark_max,
    plate.two_scales as two_scales,
    radians(plate.axis_deg + (plate_index - 1) * plate.index_step_deg) as direction,
    cast(null as varchar) as what,
    strftime(measured_ts, '%Y-%m-%d') as day
from (
    select
        chain_states.*,
        -- The kit's row for this chassis wins over its row for any chassis.
        case when own.kit is not null then own else common end as plate
    from chain_states
    left join plates as own on own.kit = chain_states.kit and own.chassis = chain_states.chassis
    left join plates as common on common.kit = chain_states.kit and common.chassis is null
) as states
left join chassis_casters using (chassis)
union all by name
select
    vehicle,
    session,
    epoch_us(wall_time(started_at)) as ordered_ts,
    'ran' as phase
from sessions
anti join (select distinct vehicle, session from states where visit_kind = 'session') as visited
    using (vehicle, session)
where wall_time(started_at) is not null
union all by name
select
    vehicle,
    corner,
    epoch_us(wall_time(changed_at)) as ordered_ts,
    'changed' as phase,
    what,
    left(changed_at, 10) as day
from changes
semi join chain_states using (vehicle)
order by vehicle, ordered_ts, visit, phase_order, corner
