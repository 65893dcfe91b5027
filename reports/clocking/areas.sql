-- What each plate reaches in each index: places of the bearing and expected angles at the whole marks and the ends of one scale,
-- or round the reach of two. path_order: along the scale, or round the corners and back to the first.
with
subject as (
    select * from clocking_subject($vehicle::varchar, $chassis::varchar, $kit::varchar)
),
settings as (
    select *
    from reached_settings(
        (select coalesce(list(vehicle), []) from subject),
        (select chassis from subject where vehicle = ''),
        null,
        (
            select coalesce(list(target order by target_order), [])
            from usual_targets($target::varchar, $target_2::varchar)
        ),
        (select kit from subject),
        1.0::double, true
    )
),
-- Targets differ by the camber at their toe only.
of_one_target as (
    select * from settings where target_order is not null qualify target_order = min(target_order) over ()
),
pathed as (
    select
        *,
        case
            when not two_scales and (mark_1 = round(mark_1) or mark_1 in (mark_min, mark_max))
                then [mark_1]
            when not two_scales then []
            when mark_1 = mark_min and mark_2 = mark2_min then [1, 5]
            when mark_1 = mark_max and mark_2 = mark2_min then [2]
            when mark_1 = mark_max and mark_2 = mark2_max then [3]
            when mark_1 = mark_min and mark_2 = mark2_max then [4]
            else []
        end as path_orders
    from of_one_target
)
select
    corner,
    plate_hand,
    plate_index,
    plate_hand || ' ' || plate_index as clocking,
    upper(left(plate_hand, 1)) || plate_index as label,
    cast(unnest(path_orders) as double) as path_order,
    mark_1 = mark_max and (not two_scales or mark_2 = mark2_max) as is_end,
    mark_1,
    case when two_scales then mark_2 end as mark_2,
    out_mm,
    aft_mm,
    camber_deg,
    caster_deg
from pathed
order by corner, plate_hand, plate_index, path_order
