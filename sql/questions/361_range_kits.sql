-- Kits that the page of ranges shows first: by the front corners that carry them now. asked_kit: NULL = all.
create or replace temp macro range_kits(asked_kit) as table
select
    plates.kit,
    row_number() over (order by count(present_corners.vehicle) desc, plates.kit) as kit_rank
from (select distinct kit from plates where mark_min < mark_max) as plates
left join present_corners on present_corners.kit = plates.kit
where asked_kit is null or plates.kit = asked_kit
group by plates.kit;
