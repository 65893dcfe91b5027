-- title: Pointers at the end of their scale
-- grain: one row per state of a front corner and scale whose pointer stands at an end of that scale
-- source: states, plates
-- missing: a kit that is not known or gives no ends has no rows; nor has a state without a mark or a known place
-- At the end: within half of the smallest part of a mark that is read.
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR
-- column visit VARCHAR: visit
-- column phase VARCHAR: before moved after
-- column scale INTEGER: 1 2
-- column scale_end VARCHAR: low high
-- column beyond_out DOUBLE: outboard part of the direction (length 1) that leads beyond the end, vehicle frame
-- column beyond_aft DOUBLE: its rearward part
with
plated as (
    select
        states.*,
        plates.* exclude (kit, chassis)
    from states
    inner join plates
        on plates.kit = states.kit
        and (plates.chassis = states.chassis or plates.chassis is null)
    where corner in ('FL', 'FR') and states.offset_out_mm is not null
    qualify row_number() over (partition by vehicle, corner, visit, phase order by plates.chassis nulls last) = 1
),
scales as (
    select
        *,
        unnest([
            {'scale': 1, 'mark': mark_1, 'low': mark_min, 'high': mark_max, 'scale_axis_deg': axis_deg},
            {'scale': 2, 'mark': mark_2, 'low': mark2_min, 'high': mark2_max, 'scale_axis_deg': axis_deg + 90}
        ], recursive := true)
    from plated
),
ends as (
    select
        *,
        case
            when mark >= high - mark_resolution / 2 - 1e-9 then 'high'
            when mark <= low + mark_resolution / 2 + 1e-9 then 'low'
        end as scale_end,
        slot_direction(
            scale_axis_deg, (coalesce(plate_index, 1) - 1) * index_step_deg, plate_hand = case corner when 'FL' then 'left' else 'right' end
        ) as direction
    from scales
    where low < high
)
select
    vehicle,
    corner,
    visit,
    phase,
    scale,
    scale_end,
    case scale_end when 'high' then 1 else -1 end * direction.out as beyond_out,
    case scale_end when 'high' then 1 else -1 end * direction.aft as beyond_aft
from ends
where scale_end is not null
