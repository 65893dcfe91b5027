-- Readings of one state about their median.
select
    dense_rank() over (order by site, cell) as state,
    site || ' ' || gauge as gauge,
    case when response = 'camber_deg' then deviation_deg end as camber_deg,
    case when response = 'caster_deg' then deviation_deg end as caster_deg,
    case when response = 'toe_deg' then deviation_deg end as toe_deg,
    case when response = 'sai_deg' then deviation_deg end as sai_deg
from shared
where kind = 'repeat'
