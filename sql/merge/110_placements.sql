-- What repeat_cells and reading_noise read of them: readings of one state about their median, and the names of the gauges.
select
    site || ' ' || cell as vehicle,
    'FL' as corner,
    'repeat' as visit,
    'before' as phase,
    site || ' ' || gauge as gauge,
    case when response = 'camber_deg' then deviation_deg end as camber_deg,
    case when response = 'caster_deg' then deviation_deg end as caster_deg,
    case when response = 'toe_deg' then deviation_deg end as toe_deg,
    case when response = 'sai_deg' then deviation_deg end as sai_deg
from shared
where kind = 'repeat'
union all by name
select distinct site || ' ' || gauge as gauge
from shared
where gauge is not null
