-- Where the bearing sits at the whole marks and the ends of each plate, as it is clocked now; of a plate with two scales the
-- corners of its reach and the two scales themselves.
with
settings as (
    select
        *,
        new_mark_1 in (mark_min, mark_max) as at_end_1,
        new_mark_2 in (mark2_min, mark2_max) as at_end_2
    from plate_settings(
        (select coalesce(list(vehicle), []) from card_cars($vehicle::varchar, 40)),
        null, null, null::varchar, null::integer, null::varchar, 1.0::double, false
    )
),
parts as (
    select
        *,
        case
            when not two_scales then 'scale'
            when at_end_1 and at_end_2 then 'corner'
            when new_mark_2 = 0 then 'scale'
            when new_mark_1 = 0 then 'second scale'
        end as part
    from settings
)
select
    vehicle,
    corner,
    part,
    new_mark_1 as mark_1,
    case when two_scales then new_mark_2 end as mark_2,
    new_out_mm as out_mm,
    new_aft_mm as aft_mm
from parts
where part is not null
    and (new_mark_1 = round(new_mark_1) or at_end_1)
    and (not two_scales or new_mark_2 = round(new_mark_2) or at_end_2)
order by vehicle, corner, part, mark_1, mark_2
