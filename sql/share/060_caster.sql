-- Caster of front corners, with how many states have it.
select
    chassis,
    caster_deg,
    count(*) as state_count
from states
where corner in ('FL', 'FR') and caster_deg is not null
group by chassis, caster_deg
