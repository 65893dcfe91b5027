-- Beside the changes without a gauge, as many as each gauge has.
select *
from undisturbed_changes
union all by name
select
    site || ' ' || gauge as gauge,
    response,
    sd_deg,
    unnest(range(change_count)) as change_deg
from shared
where kind = 'session'
