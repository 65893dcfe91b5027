-- title: Who read how often with which gauge
-- grain: one row per gauge and person of the readings
-- source: placements
-- missing: gauge and technician are NULL where not named
-- column gauge VARCHAR: measuring equipment
-- column technician VARCHAR: who measured
-- column camber_count BIGINT: readings of camber
-- column caster_count BIGINT: readings of caster
-- column toe_count BIGINT: readings of toe
-- column sai_count BIGINT: readings of SAI
select
    gauge,
    technician,
    count(camber_deg) as camber_count,
    count(caster_deg) as caster_count,
    count(toe_deg) as toe_count,
    count(sai_deg) as sai_count
from placements
group by gauge, technician
