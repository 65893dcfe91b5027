-- title: Who read how often with which gauge
-- grain: one row per gauge and person of the readings
-- source: readings
-- missing: gauge and technician are NULL where not named
-- column reader BIGINT: number of the gauge and person, a hash of their names
-- column gauge VARCHAR: measuring equipment
-- column technician VARCHAR: who measured
-- column camber_reading_count BIGINT: readings of camber
-- column caster_reading_count BIGINT: readings of caster
-- column toe_reading_count BIGINT: readings of toe
-- column sai_reading_count BIGINT: readings of SAI
select
    reader_of(gauge, technician) as reader,
    gauge,
    technician,
    count(camber_deg) as camber_reading_count,
    count(caster_deg) as caster_reading_count,
    count(toe_deg) as toe_reading_count,
    count(sai_deg) as sai_reading_count
from readings
group by gauge, technician
