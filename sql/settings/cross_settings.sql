-- title: Left minus right of what was set
-- grain: one row per install or adjust visit with an after of both front corners for one target
-- source: settings
-- kept: as a view
-- missing: a difference of which a side was not read is NULL
-- column chassis VARCHAR: platform code
-- column vehicle VARCHAR: one car
-- column visit VARCHAR: visit
-- column visit_kind VARCHAR: install adjust
-- column measured_ts TIMESTAMP: when it was read, local wall time
-- column kit VARCHAR: NULL = original mount; several = the sides differ
-- column gauge VARCHAR: measuring equipment; NULL = not named; several = the sides differ
-- column technician VARCHAR: who measured; NULL = not named; several = the sides differ
-- column target VARCHAR: what it was set to
-- column camber_deg DOUBLE [deg]: as read
-- column caster_deg DOUBLE [deg]: as read
-- column camber_u_deg DOUBLE [deg]: standard uncertainty of the true difference: the bias of one gauge and person cancels
-- column camber_apart_u_deg DOUBLE [deg]: the same without the biases
-- column camber_scatter_u_deg DOUBLE [deg]: part that scatters from setting to setting, as far as readings tell
-- column camber_bias_deg DOUBLE [deg]: what differing readers add to it, as far as known
-- column caster_u_deg DOUBLE [deg]: standard uncertainty of the true difference: the bias of one gauge and person cancels
-- column caster_apart_u_deg DOUBLE [deg]: the same without the biases
-- column caster_scatter_u_deg DOUBLE [deg]: part that scatters from setting to setting, as far as readings tell
-- column caster_bias_deg DOUBLE [deg]: what differing readers add to it, as far as known
-- column camber_most_deg_per_mm DOUBLE [deg/mm]: what one millimetre beyond an end of a scale would do, the largest
-- column camber_least_deg_per_mm DOUBLE [deg/mm]: the smallest
-- column caster_most_deg_per_mm DOUBLE [deg/mm]: the largest
-- column caster_least_deg_per_mm DOUBLE [deg/mm]: the smallest
-- column found_camber_deg DOUBLE [deg]: before anything was moved
-- column found_caster_deg DOUBLE [deg]: before anything was moved
-- column source_file VARCHAR: file of the left reading
-- column source_line INTEGER: line in that file
select
    lefts.chassis,
    lefts.vehicle,
    lefts.visit,
    lefts.visit_kind,
    least(lefts.measured_ts, rights.measured_ts) as measured_ts,
    case when lefts.kit is not distinct from rights.kit then lefts.kit else 'several' end as kit,
    case when lefts.gauge is not distinct from rights.gauge then lefts.gauge else 'several' end as gauge,
    case when lefts.technician is not distinct from rights.technician then lefts.technician
        else 'several' end as technician,
    lefts.target,
    lefts.camber_deg - rights.camber_deg as camber_deg,
    lefts.caster_deg - rights.caster_deg as caster_deg,
    case
        when lefts.gauge is not distinct from rights.gauge
            and lefts.technician is not distinct from rights.technician
            then sqrt(power(lefts.camber_apart_u_deg, 2) + power(rights.camber_apart_u_deg, 2))
        else sqrt(power(lefts.camber_u_deg, 2) + power(rights.camber_u_deg, 2))
    end as camber_u_deg,
    sqrt(power(lefts.camber_apart_u_deg, 2) + power(rights.camber_apart_u_deg, 2)) as camber_apart_u_deg,
    sqrt(power(lefts.camber_scatter_u_deg, 2) + power(rights.camber_scatter_u_deg, 2)) as camber_scatter_u_deg,
    lefts.camber_bias_deg - rights.camber_bias_deg as camber_bias_deg,
    case
        when lefts.gauge is not distinct from rights.gauge
            and lefts.technician is not distinct from rights.technician
            then sqrt(power(lefts.caster_apart_u_deg, 2) + power(rights.caster_apart_u_deg, 2))
        else sqrt(power(lefts.caster_u_deg, 2) + power(rights.caster_u_deg, 2))
    end as caster_u_deg,
    sqrt(power(lefts.caster_apart_u_deg, 2) + power(rights.caster_apart_u_deg, 2)) as caster_apart_u_deg,
    sqrt(power(lefts.caster_scatter_u_deg, 2) + power(rights.caster_scatter_u_deg, 2)) as caster_scatter_u_deg,
    lefts.caster_bias_deg - rights.caster_bias_deg as caster_bias_deg,
    greatest(lefts.camber_most_deg_per_mm, -rights.camber_least_deg_per_mm) as camber_most_deg_per_mm,
    least(lefts.camber_least_deg_per_mm, -rights.camber_most_deg_per_mm) as camber_least_deg_per_mm,
    greatest(lefts.caster_most_deg_per_mm, -rights.caster_least_deg_per_mm) as caster_most_deg_per_mm,
    least(lefts.caster_least_deg_per_mm, -rights.caster_most_deg_per_mm) as caster_least_deg_per_mm,
    lefts.found_camber_deg - rights.found_camber_deg as found_camber_deg,
    lefts.found_caster_deg - rights.found_caster_deg as found_caster_deg,
    lefts.source_file,
    lefts.source_line
from settings as lefts
inner join settings as rights
    on rights.vehicle = lefts.vehicle
    and rights.visit = lefts.visit
    and rights.target = lefts.target
where lefts.corner = 'FL' and rights.corner = 'FR'
