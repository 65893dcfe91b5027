-- What the page of ranges shows first: chassis and targets with camber and caster, by corners; kits by the front corners that carry them now. asked_*: NULL = all.
create or replace temp macro range_groups(asked_chassis, asked_target) as table
select
    chassis,
    target,
    row_number() over (order by count(*) desc, max(corner_count) desc, chassis, target) as group_rank,
    count(*) over () as group_count
from needed_spreads
where (asked_chassis is null or chassis = asked_chassis) and (asked_target is null or target = asked_target)
group by chassis, target;
create or replace temp macro range_kits(asked_kit) as table
select
    plates.kit,
    row_number() over (order by count(present_corners.vehicle) desc, plates.kit) as kit_rank
from (select distinct kit from plates where mark_min < mark_max) as plates
left join present_corners on present_corners.kit = plates.kit
where asked_kit is null or plates.kit = asked_kit
group by plates.kit;
