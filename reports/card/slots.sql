-- Where the bearing sits at the whole marks and the ends of each plate, as it is clocked now; of a plate with two scales the
-- corners of its reach and the two scales themselves.
with
settings as (
    select
        *,
        mark_1 in (mark_min, mark_max) as at_end_1,
        mark_2 in (mark2_min, mark2_max) as at_end_2
    from reached_settings(
        (select coalesce(list(vehicle), []) from card_cars($vehicle::varchar, 40)),
        null::varchar, null, []::varchar[], null::varchar, 1.0::double, false
    )
),
parts as (
    select
        *,
        case
            when not two_scales then 'scale'
            when at_end_1 and at_end_2 then 'corner'
            when mark_2 = 0 then 'scale'
            when mark_1 = 0 then 'second scale'
        end as part
    from settings
)
select
    vehicle,
    corner,
    part,
    mark_1,
    case when two_scales then mark_2 end as mark_2,
    out_mm,
    aft_mm
from parts
where part is not null
    and (mark_1 = round(mark_1) or at_end_1)
    and (not two_scales or mark_2 = round(mark_2) or at_end_2)
order by vehicle, corner, part, mark_1, mark_2
