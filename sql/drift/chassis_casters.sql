-- title: Usual caster of a chassis
-- grain: one row per chassis
-- source: states of the fronts
-- missing: NULL where caster was never read
-- column chassis VARCHAR: platform code
-- column caster_deg DOUBLE [deg]: median of the states
select chassis, median(caster_deg) as caster_deg
from states
where corner in ('FL', 'FR')
group by chassis
