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
select *
from (select * from sensitivities where chassis is not null) pivot (
    max(slope_out) as out, max(slope_aft) as aft, max(spread_var) as spread_var
    for response in ('camber_deg' as camber, 'caster_deg' as caster) group by chassis
)
