-- Beside the changes without a gauge, those of each gauge.
select *
from undisturbed_spreads
union all by name
select
    site || ' ' || gauge as gauge,
    response,
    change_count,
    sd_deg
from shared
where kind = 'session'
