-- title: Who read with which gauge
-- grain: one row per gauge and person of the readings
-- source: reader_counts
-- missing: gauge and technician are NULL where not named
-- column reader BIGINT: number of the gauge and person, a hash of their names
-- column gauge VARCHAR: measuring equipment
-- column technician VARCHAR: who measured
select
    cast(hash(gauge, technician) // 4096 as bigint) as reader,
    gauge,
    technician
from reader_counts
