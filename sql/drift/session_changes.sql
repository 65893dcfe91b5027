-- title: Fronts over a session, or where they moved without one, by the whole record of the car
-- grain: one row per session visit and front corner with a state before or after, per run without a visit of its own that readings enclose, and per rest after which a front may have moved
-- source: states, pointer_errors, sessions, readings, repeated_readings, changes, plates, chassis_casters, reader_noise, reader_biases, session_vars, sensitivities
-- missing: changes are NULL where an angle tells nothing of one side; all of them and the likelihoods with the reason in missing
-- computed by: src/stats/tables, written as its rows come
-- given whole: plates, chassis_casters, reader_noise, reader_biases, session_vars, sensitivities
-- A record is a chain: readings between two disturbances measure one state and are pooled, see src/stats/drift/chain.ts; a session is
-- judged by what is known on both sides of it, and so is a rest (transport or adjustment) after which the readings on its two sides, toe
-- left out, make it likelier than 0.2 that a front moved. A change of the car ends what is pooled and compared. Where a car was not read right after a session, the next state tells, with what was set
-- on purpose taken off. Where gauge or person differ, the difference of their biases is taken off and its variance added.
-- Slips: generalised least squares along the directions that the plate allows, with the noise of the readings and what is not known of
-- the slopes; no prior on the size, so that 95 % regions hold whatever it is.
-- What is read after the bearing was next set is no part of that; it weighs each cause by the probability that setting undoes it, see causes.
-- The share of moves that are put right without a record is learnt by expectation and maximisation, of a large field from the first 10,000
-- moves by vehicle.
-- Likelihoods are marginal: sizes, slopes' uncertainty, ways of the rears and angles not read are integrated out. Without a cause on the
-- car the fronts are independent; with one, both fronts and the rears are taken together, and at most one front has slipped besides.
-- Relative to the likeliest without a cause on the car, or, where a visit is far from everything, to what it cannot exceed, so that no
-- number overflows. A front that cannot be compared counts as held and adds nothing.
-- column chassis VARCHAR: platform code
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR
-- column visit VARCHAR: visit
-- column disturbance VARCHAR: session; transport (nothing ran, and nothing was set by the pointers); adjustment (set by the pointers, or in an install or adjust visit)
-- column phase VARCHAR: of the state after it; NULL where the visit encloses the session. With vehicle and visit it tells which corners belong together
-- column before_visit VARCHAR: visit of the state before it
-- column session VARCHAR: the running that the visit encloses
-- column sessions VARCHAR: all runs between the two readings, in time order, where there is more than one or the visit names none
-- column after_visit VARCHAR: visit of the state after the session; NULL = this visit
-- column measured_ts TIMESTAMP: after the session (or before, where that is all), local wall time
-- column ordered_ts TIMESTAMP: for the order of the car's sessions, see states
-- column kit VARCHAR: NULL = original mount
-- column plate_hand VARCHAR: left right
-- column plate_index INTEGER: bolt position
-- column set_out_mm DOUBLE [mm]: of an adjustment, what the pointers say was set, outboard; NULL where they stand as before
-- column set_aft_mm DOUBLE [mm]: rearward
-- column p_put_right DOUBLE: of a transport or adjustment, that what moved over the run before it was put right without a record; NULL for a session
-- column freedom VARCHAR: slot (the plate slides along one line), plane (two scales, or not known which line), none (original mount)
-- column slot_out DOUBLE: direction of the first scale in the vehicle frame, outboard part of the unit vector
-- column slot_aft DOUBLE: rearward part
-- column tan_caster DOUBLE: tangent of caster
-- column equal_toe BOOLEAN: toe is known before and after, so that camber is compared at equal toe
-- column camber_change_deg DOUBLE [deg]: after minus before, as read
-- column camber_equal_toe_deg DOUBLE [deg]: camber_judged_deg where it is at equal toe
-- column caster_change_deg DOUBLE [deg]: after minus before, as read
-- column toe_change_deg DOUBLE [deg]: after minus before, as read; NULL where tie rods were turned
-- column sai_change_deg DOUBLE [deg]: after minus before, as read
-- column camber_judged_deg DOUBLE [deg]: change by the whole record, where the corner moved, at equal toe where equal_toe
-- column caster_judged_deg DOUBLE [deg]: change by the whole record, where the corner moved
-- column toe_judged_deg DOUBLE [deg]: change by the whole record, where the corner moved
-- column sai_judged_deg DOUBLE [deg]: change by the whole record, where the corner moved
-- column camber_std_error_deg DOUBLE [deg]: of the change that is judged, sizes of causes left out
-- column caster_std_error_deg DOUBLE [deg]: of the change that is judged
-- column toe_std_error_deg DOUBLE [deg]: of the change that is judged
-- column sai_std_error_deg DOUBLE [deg]: of the change that is judged
-- column slip_out_mm DOUBLE [mm]: if the bearing slipped: outboard; along the slot where the plate has one
-- column slip_out_std_error_mm DOUBLE [mm]: standard error of the outboard part alone
-- column slip_aft_mm DOUBLE [mm]: if the bearing slipped, rearward
-- column slip_aft_std_error_mm DOUBLE [mm]: standard error of this part alone
-- column slip_cov_mm2 DOUBLE [mm2]: their covariance
-- column mark_1_back DOUBLE [marks]: marks on the first scale that would undo the slip
-- column mark_2_back DOUBLE [marks]: on the second scale, NULL without one
-- column has_rears BOOLEAN: a rear's camber was read before and after
-- column has_other_front BOOLEAN: the other front's camber was read before and after
-- column none DOUBLE: likelihood of no cause on the car, of the likeliest causes on the fronts
-- column alone DOUBLE[]: of each cause and size class on this front, in the order of drift_odds
-- column both_held DOUBLE[]: of each cause on the car, in the order of drift_odds, while the fronts held
-- column slips DOUBLE[]: of each cause on the car and size class of a slip of this front besides
-- column missing VARCHAR: why the corner cannot be compared
with
mixed as (
    select distinct vehicle, corner, visit, phase, mixture from repeated_readings where mixture is not null
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
-- States of cars with a session.
select
    states.chassis,
    vehicle,
    corner,
    visit,
    visit_kind,
    phase,
    phase_order,
    session,
    cast(epoch_us(measured_ts) as double) as measured_ts,
    cast(epoch_us(ordered_ts) as double) as ordered_ts,
    kit,
    plate_hand,
    plate_index,
    mark_1,
    offset_out_mm,
    offset_aft_mm,
    greatest(read_error_oo_mm2, read_error_aa_mm2) * coalesce(variance_ratio, 1) as pointer_var_mm2,
    camber_deg,
    caster_deg,
    toe_deg,
    sai_deg,
    cast(camber_count as integer) as camber_count,
    cast(caster_count as integer) as caster_count,
    cast(toe_count as integer) as toe_count,
    cast(sai_count as integer) as sai_count,
    toe_reset,
    height_mm,
    cast(coalesce(-mixture, reader_of(gauge, technician)) as double) as reader,
    cast(null as varchar) as what,
    cast(null as varchar) as day
from states
semi join ran using (vehicle)
left join pointer_errors using (kit)
left join mixed using (vehicle, corner, visit, phase)
left join heights using (vehicle, corner, visit, phase)
union all by name
select
    vehicle,
    session,
    cast(epoch_us(wall_time(started_at)) as double) as ordered_ts,
    'ran' as phase
from sessions
anti join (select distinct vehicle, session from states where visit_kind = 'session') as visited
    using (vehicle, session)
where wall_time(started_at) is not null
union all by name
select
    vehicle,
    corner,
    cast(epoch_us(wall_time(changed_at)) as double) as ordered_ts,
    'changed' as phase,
    what,
    left(changed_at, 10) as day
from changes
order by vehicle, ordered_ts, visit, phase_order, corner
