-- title: What is expected of slopes, readings, gauges, set-ups and corners without data
-- grain: one row per angle
-- source: camber over out: pivot distance 500..800 mm and 57.3 cos^2(SAI)/H (exact geometry); SAI falls by what camber gains; caster over aft as camber, 4 % over it; 0 by symmetry; toe 0.2..0.9 deg per deg of camber, either sign; spreads and all else from memory; spread_var is one to two per cent of a slope for building tolerance and ride height, toe more
-- missing: none
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column mean_out DOUBLE [deg/mm]: prior mean of a chassis' slope, outboard
-- column mean_aft DOUBLE [deg/mm]: the same rearward
-- column sd_out DOUBLE [deg/mm]: prior standard deviation of a chassis' slope, outboard
-- column sd_aft DOUBLE [deg/mm]: the same rearward
-- column noise_sd_deg DOUBLE [deg]: prior standard deviation of one reading of this angle
-- column bias_sd_deg DOUBLE [deg]: standard deviation between gauges; half of it between people
-- column visit_sd_deg DOUBLE [deg]: standard deviation of what changes from one set-up to the next, besides the reading
-- column session_sd_deg DOUBLE [deg]: standard deviation of what changes over a session that leaves the corner alone, besides the readings
-- column spread_var DOUBLE [deg2/mm2]: variance of a corner's slope about its chassis' slope
-- column car_var DOUBLE [deg2]: variance of the angle itself between cars of one chassis with the original mount
select
    response,
    cast(mean_out as double) as mean_out,
    cast(mean_aft as double) as mean_aft,
    cast(sd_out as double) as sd_out,
    cast(sd_aft as double) as sd_aft,
    cast(noise_sd_deg as double) as noise_sd_deg,
    cast(bias_sd_deg as double) as bias_sd_deg,
    cast(visit_sd_deg as double) as visit_sd_deg,
    cast(session_sd_deg as double) as session_sd_deg,
    power(spread_sd, 2) as spread_var,
    power(car_sd, 2) as car_var
from (
    values
        ('camber_deg', 0.087, 0, 0.010, 0.010, 0.05, 0.05, 0.06, 0.02, cast(0.0015 as double), cast(0.3 as double)),
        ('caster_deg', 0, 0.0905, 0.010, 0.012, 0.12, 0.15, 0.12, 0.04, 0.002, 0.4),
        ('toe_deg', 0, 0, 0.050, 0.030, 0.03, 0.03, 0.04, 0.01, 0.003, 0.1),
        ('sai_deg', -0.087, 0, 0.010, 0.010, 0.12, 0.15, 0.12, 0.04, 0.002, 0.4)
) as priors(
    response, mean_out, mean_aft, sd_out, sd_aft, noise_sd_deg, bias_sd_deg, visit_sd_deg, session_sd_deg, spread_sd,
    car_sd
)
