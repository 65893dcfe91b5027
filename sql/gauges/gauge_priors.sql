-- title: What is expected of gauges, set-ups and corners without data
-- grain: one row per angle
-- source: from memory; spread_var is one to two per cent of a slope for building tolerance and ride height, toe more
-- missing: none
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column bias_sd_deg DOUBLE [deg]: standard deviation between gauges; half of it between people
-- column visit_sd_deg DOUBLE [deg]: standard deviation of what changes from one set-up to the next, besides the reading
-- column session_sd_deg DOUBLE [deg]: standard deviation of what changes over a session that leaves the corner alone, besides the readings
-- column spread_var DOUBLE [deg2/mm2]: variance of a corner's slope about its chassis' slope
-- column car_var DOUBLE [deg2]: variance of the angle itself between cars of one chassis with the original mount
select
    response,
    cast(bias_sd_deg as double) as bias_sd_deg,
    cast(visit_sd_deg as double) as visit_sd_deg,
    cast(session_sd_deg as double) as session_sd_deg,
    power(spread_sd, 2) as spread_var,
    power(car_sd, 2) as car_var
from (
    values
        ('camber_deg', 0.05, 0.06, 0.02, cast(0.0015 as double), cast(0.3 as double)),
        ('caster_deg', 0.15, 0.12, 0.04, 0.002, 0.4),
        ('toe_deg', 0.03, 0.04, 0.01, 0.003, 0.1),
        ('sai_deg', 0.15, 0.12, 0.04, 0.002, 0.4)
) as priors(response, bias_sd_deg, visit_sd_deg, session_sd_deg, spread_sd, car_sd)
