-- The names of the gauges: how often they read is not shared.
select distinct
    site || ' ' || shared.gauge as gauge,
    reader_of(site || ' ' || shared.gauge, cast(null as varchar)) as reader
from shared
where shared.gauge is not null
