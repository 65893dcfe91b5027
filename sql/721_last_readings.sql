-- title: When a chassis was read last
-- grain: one row per chassis of the readings
-- source: placements
-- missing: NULL where no reading has a time
-- column chassis VARCHAR: platform code
-- column measured_ts TIMESTAMP: of the last reading, local wall time
select chassis, max(measured_ts) as measured_ts
from placements
group by chassis
