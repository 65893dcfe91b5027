-- title: Front corners over a session
-- grain: one row per session visit and front corner with a state before or after
-- source: states, chassis_casters, session_noise, plates
-- missing: changes are NULL where an angle was not read before and after; all of them with the reason in missing
-- column chassis VARCHAR: platform code
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR
-- column visit VARCHAR: visit
-- column session VARCHAR: the running that the visit encloses
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
-- column pointer_out_mm DOUBLE [mm]: change of the offset by the pointers where they were written down differently
-- column pointer_aft_mm DOUBLE [mm]: its rearward part
-- column pointer_var_mm2 DOUBLE [mm2]: variance of either from reading the pointers
-- column tan_caster DOUBLE: tangent of caster
-- column equal_toe BOOLEAN: toe was read before and after, so that camber is compared at equal toe
-- column camber_read_deg DOUBLE [deg]: change of camber as read
-- column camber_deg DOUBLE [deg]: change of camber, at equal toe where equal_toe
-- column caster_deg DOUBLE [deg]: change of caster
-- column toe_deg DOUBLE [deg]: change of toe, tie rods untouched
-- column sai_deg DOUBLE [deg]: change of SAI
-- column camber_var_deg2 DOUBLE [deg2]: variance of the change when nothing happened
-- column caster_var_deg2 DOUBLE [deg2]: of caster
-- column toe_var_deg2 DOUBLE [deg2]: of toe
-- column sai_var_deg2 DOUBLE [deg2]: of SAI
-- column missing VARCHAR: why the corner cannot be compared
with
sessions as not materialized (
    select * from states where visit_kind = 'session' and corner in ('FL', 'FR')
),
both_states as (
    select
        coalesce(later.chassis, earlier.chassis) as chassis,
        coalesce(later.vehicle, earlier.vehicle) as vehicle,
        coalesce(later.corner, earlier.corner) as corner,
        coalesce(later.visit, earlier.visit) as visit,
        coalesce(later.session, earlier.session) as session,
        coalesce(later.measured_ts, earlier.measured_ts) as measured_ts,
        coalesce(later.ordered_ts, earlier.ordered_ts) as ordered_ts,
        coalesce(earlier.kit, later.kit) as kit,
        coalesce(earlier.plate_hand, later.plate_hand) as plate_hand,
        coalesce(earlier.plate_index, later.plate_index) as plate_index,
        coalesce(earlier.mark_1, later.mark_1) as mark_1,
        coalesce(earlier.mark_2, later.mark_2) as mark_2,
        later.offset_out_mm - earlier.offset_out_mm as pointer_out_mm,
        later.offset_aft_mm - earlier.offset_aft_mm as pointer_aft_mm,
        greatest(
            later.read_error_oo_mm2 + earlier.read_error_oo_mm2, later.read_error_aa_mm2 + earlier.read_error_aa_mm2
        ) as pointer_var_mm2,
        coalesce((later.caster_deg + earlier.caster_deg) / 2, later.caster_deg, earlier.caster_deg) as caster_deg,
        later.toe_deg - earlier.toe_deg as toe_step,
        case
            when earlier.vehicle is null then 'no reading before the session'
            when later.vehicle is null then 'no reading after the session'
            when earlier.kit is distinct from later.kit then 'another mount after the session'
            when earlier.plate_index is distinct from later.plate_index
                or earlier.plate_hand is distinct from later.plate_hand
                then 'the plate was turned or changed between the readings'
        end as missing
    from (select * from sessions where phase = 'before') as earlier
    full join (select * from sessions where phase = 'after') as later
        on earlier.vehicle = later.vehicle and earlier.corner = later.corner and earlier.visit = later.visit
),
-- The kit's row for this chassis wins over its row for any chassis.
plated as (
    select
        both_states.*,
        tan_deg(coalesce(both_states.caster_deg, chassis_casters.caster_deg)) as tan_caster,
        case when own.kit is not null then own else common end as plate
    from both_states
    left join chassis_casters using (chassis)
    left join plates as own on own.kit = both_states.kit and own.chassis = both_states.chassis
    left join plates as common on common.kit = both_states.kit and common.chassis is null
),
directed as (
    select
        *,
        radians(plate.axis_deg + (plate_index - 1) * plate.index_step_deg) as direction,
        case
            when kit is null then null
            when plate_hand = case when corner like '%L' then 'left' else 'right' end then 1
            else -1
        end as mirror
    from plated
)
select
    chassis,
    vehicle,
    corner,
    visit,
    session,
    measured_ts,
    ordered_ts,
    kit,
    plate_hand,
    plate_index,
    mark_1,
    mark_2,
    plate.pitch_mm as pitch_mm,
    case
        when kit is null then 'none'
        when plate.two_scales or direction is null then 'plane'
        else 'slot'
    end as freedom,
    cos(direction) * mirror as slot_out,
    sin(direction) as slot_aft,
    (plate.mark_min - mark_1) * plate.pitch_mm as low_mm,
    (plate.mark_max - mark_1) * plate.pitch_mm as high_mm,
    case when abs(pointer_out_mm) + abs(pointer_aft_mm) > 1e-3 then pointer_out_mm end as pointer_out_mm,
    case when abs(pointer_out_mm) + abs(pointer_aft_mm) > 1e-3 then pointer_aft_mm end as pointer_aft_mm,
    -- A fifth of a millimetre: what a pointer hides of its plate.
    case when abs(pointer_out_mm) + abs(pointer_aft_mm) > 1e-3 then pointer_var_mm2 + 0.04 end as pointer_var_mm2,
    tan_caster,
    coalesce(toe_step is not null and tan_caster is not null, false) as equal_toe,
    case when missing is null then camber_change_deg end as camber_read_deg,
    case when missing is null
        then camber_change_deg + case when equal_toe then tan_caster * toe_step else 0 end end as camber_deg,
    case when missing is null then caster_change_deg end as caster_deg,
    case when missing is null then toe_change_deg end as toe_deg,
    case when missing is null then sai_change_deg end as sai_deg,
    camber_var_deg2
        + case when equal_toe then tan_caster * tan_caster * coalesce(toe_var_deg2, 0) else 0 end as camber_var_deg2,
    caster_var_deg2,
    toe_var_deg2,
    sai_var_deg2,
    coalesce(
        missing,
        case
            when coalesce(camber_change_deg, caster_change_deg, toe_change_deg, sai_change_deg) is null
                then 'no angle was read both before and after'
        end
    ) as missing
from directed
left join (select * exclude (chassis) from session_noise) as session_noise using (vehicle, corner, visit)
