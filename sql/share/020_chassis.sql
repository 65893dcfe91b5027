-- Platforms of the readings.
select distinct chassis
from readings
