-- Readings without a gauge are of all sites: the finest of their displays.
select
    site || ' ' || gauge as gauge,
    response,
    min(step_deg) as step_deg
from shared
where kind = 'display'
group by all
