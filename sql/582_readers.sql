-- title: Who read with which gauge
-- grain: one row per gauge and person of the readings
-- source: reader_counts
-- missing: gauge and technician are NULL where not named
-- column reader BIGINT: number of the row
-- column gauge VARCHAR: measuring equipment
-- column technician VARCHAR: who measured
select
    row_number() over (order by gauge, technician) as reader,
    gauge,
    technician
from reader_counts
