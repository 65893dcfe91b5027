-- Targets of a page, one row each: the ones asked for, or the two that the readings name most often (of equals one for
-- any chassis), least negative camber first.
-- Only targets with a tolerance for every angle that they name can be judged.
create or replace temp macro usual_targets(asked_first, asked_second) as table
with
usable as (
    select target, max(camber_deg) as camber_deg, bool_or(chassis is null) as for_any
    from targets
    where coalesce(camber_deg, caster_deg) is not null
        and (camber_deg is null or camber_tol_deg is not null)
        and (caster_deg is null or caster_tol_deg is not null)
    group by target
),
named as (
    select target, count(*) as reading_count from readings where target is not null group by target
),
most_named as (
    select target, camber_deg
    from usable
    left join named using (target)
    where asked_first is null
    order by coalesce(reading_count, 0) desc, for_any desc, target
    limit 2
)
select target, row_number() over (order by camber_deg desc nulls last, target) as target_order
from most_named
union all
select target, target_order
from (select unnest([asked_first, asked_second]) as target, unnest([1, 2]) as target_order)
where target is not null;
