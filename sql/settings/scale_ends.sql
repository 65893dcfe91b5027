-- title: Pointers at the end of their scale
-- grain: one row per state of a front corner with a pointer that stands at an end of its scale
-- source: readings, states, plates
-- missing: a kit that is not known or gives no ends has no rows; nor has a state without a mark or a known place; a direction is NULL
-- where the pointer of that scale is not at an end
-- At the end: within half of the smallest part of a mark that is read.
-- column chassis VARCHAR: platform code
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR
-- column visit VARCHAR: visit
-- column phase VARCHAR: before moved after
-- column end_1_out DOUBLE: outboard part of the direction (length 1) that leads beyond the end of the first scale, vehicle frame
-- column end_1_aft DOUBLE: its rearward part
-- column end_2_out DOUBLE: outboard part of the direction beyond the end of the second scale
-- column end_2_aft DOUBLE: its rearward part
with
fitting as (
    select
        every_chassis.chassis,
        plates.kit,
        index_step_deg,
        axis_deg,
        case when mark_min < mark_max then mark_max - mark_resolution / 2 - 1e-9 end as high_1,
        case when mark_min < mark_max then mark_min + mark_resolution / 2 + 1e-9 end as low_1,
        case when mark2_min < mark2_max then mark2_max - mark_resolution / 2 - 1e-9 end as high_2,
        case when mark2_min < mark2_max then mark2_min + mark_resolution / 2 + 1e-9 end as low_2
    from (select distinct chassis from readings) as every_chassis
    inner join plates on plates.chassis = every_chassis.chassis or plates.chassis is null
    qualify row_number() over (partition by every_chassis.chassis, plates.kit order by plates.chassis nulls last) = 1
),
ends as (
    select
        states.chassis,
        vehicle,
        corner,
        visit,
        phase,
        case when mark_1 >= high_1 then 1 when mark_1 <= low_1 then -1 end as sign_1,
        case when mark_2 >= high_2 then 1 when mark_2 <= low_2 then -1 end as sign_2,
        axis_deg,
        (coalesce(plate_index, 1) - 1) * index_step_deg as turn_deg,
        plate_hand = case corner when 'FL' then 'left' else 'right' end as own
    from states
    inner join fitting on fitting.kit = states.kit and fitting.chassis = states.chassis
    where corner in ('FL', 'FR')
        and offset_out_mm is not null
        and (mark_1 >= high_1 or mark_1 <= low_1 or mark_2 >= high_2 or mark_2 <= low_2)
)
select
    chassis,
    vehicle,
    corner,
    visit,
    phase,
    sign_1 * slot_direction(axis_deg, turn_deg, own).out as end_1_out,
    sign_1 * slot_direction(axis_deg, turn_deg, own).aft as end_1_aft,
    sign_2 * slot_direction(axis_deg + 90, turn_deg, own).out as end_2_out,
    sign_2 * slot_direction(axis_deg + 90, turn_deg, own).aft as end_2_aft
from ends
