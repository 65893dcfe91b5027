-- What the page of ranges shows first: chassis and targets with camber and caster, by corners. asked_*: NULL = all.
create or replace temp macro range_groups(asked_chassis, asked_target) as table
select
    chassis,
    target,
    row_number() over (order by count(*) desc, max(corner_count) desc, chassis, target) as group_rank,
    count(*) over () as group_count
from needed_spreads
where (asked_chassis is null or chassis = asked_chassis) and (asked_target is null or target = asked_target)
group by chassis, target;
