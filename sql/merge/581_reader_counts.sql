-- The names of the gauges: how often they read is not shared.
select distinct site || ' ' || gauge as gauge
from shared
where gauge is not null
