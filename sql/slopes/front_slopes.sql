-- title: What one millimetre does to camber and caster, in one row
-- grain: one row per chassis of the readings
-- source: sensitivities
-- kept: as a view
-- missing: none
-- column chassis VARCHAR: platform code
-- column camber_out DOUBLE [deg/mm]: camber, outboard
-- column camber_aft DOUBLE [deg/mm]: camber, rearward
-- column camber_spread_var DOUBLE [deg2/mm2]: variance of a corner's camber slope about its chassis' slope
-- column caster_out DOUBLE [deg/mm]: caster, outboard
-- column caster_aft DOUBLE [deg/mm]: caster, rearward
-- column caster_spread_var DOUBLE [deg2/mm2]: variance of a corner's caster slope about its chassis' slope
select
    chassis,
    max(slope_out) filter (where response = 'camber_deg') as camber_out,
    max(slope_aft) filter (where response = 'camber_deg') as camber_aft,
    max(spread_var) filter (where response = 'camber_deg') as camber_spread_var,
    max(slope_out) filter (where response = 'caster_deg') as caster_out,
    max(slope_aft) filter (where response = 'caster_deg') as caster_aft,
    max(spread_var) filter (where response = 'caster_deg') as caster_spread_var
from sensitivities
where chassis is not null
group by chassis
