-- The names of the gauges: how often they read is not shared.
select distinct
    site || ' ' || shared.gauge as gauge,
    cast(hash(site || ' ' || shared.gauge, cast(null as varchar)) // 4096 as bigint) as reader
from shared
where shared.gauge is not null
