-- Gauges without a name are one gauge of their site.
select
    site || ' ' || coalesce(cast(gauge as varchar), 'not named') as gauge,
    response,
    sd_deg,
    unnest(range(change_count)) as change_deg
from shared
where kind = 'session'
