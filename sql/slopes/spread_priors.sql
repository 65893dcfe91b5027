-- title: What is expected of a corner before its chassis is known well
-- grain: one row per response
-- source: one to two per cent of a slope for building tolerance and ride height, toe more; from memory
-- missing: none
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column spread_var DOUBLE [deg2/mm2]: variance of a corner's slope about its chassis' slope
-- column car_var DOUBLE [deg2]: variance of the angle itself between cars of one chassis with the original mount
select
    response,
    power(spread_sd, 2) as spread_var,
    power(car_sd, 2) as car_var
from (
    values
        ('camber_deg', cast(0.0015 as double), cast(0.3 as double)),
        ('caster_deg', 0.002, 0.4),
        ('toe_deg', 0.003, 0.1),
        ('sai_deg', 0.002, 0.4)
) as priors(response, spread_sd, car_sd)
