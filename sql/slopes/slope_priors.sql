-- title: What geometry says of a chassis without data
-- grain: one row per response and axis
-- source: pivot distance 500..800 mm and 57.3 cos^2(SAI)/H for camber over out (exact geometry; the spread and the other rows from memory)
-- missing: none
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column axis VARCHAR: out aft
-- column mean_deg_per_mm DOUBLE [deg/mm]: prior mean of a chassis' slope
-- column sd_deg_per_mm DOUBLE [deg/mm]: prior standard deviation of a chassis' slope
-- column noise_sd_deg DOUBLE [deg]: prior standard deviation of one reading of this angle
-- column source VARCHAR: where the numbers come from
select
    response,
    axis,
    cast(mean_deg_per_mm as double) as mean_deg_per_mm,
    cast(sd_deg_per_mm as double) as sd_deg_per_mm,
    cast(noise_sd_deg as double) as noise_sd_deg,
    source
from (
    values
        ('camber_deg', 'out', 0.087, 0.010, 0.05, 'geometry; spread from memory'),
        ('camber_deg', 'aft', 0.000, 0.010, 0.05, 'symmetry; spread from memory'),
        ('caster_deg', 'out', 0.000, 0.010, 0.12, 'symmetry; spread from memory'),
        ('caster_deg', 'aft', 0.0905, 0.012, 0.12, 'geometry, 4 % over camber; from memory'),
        ('toe_deg', 'out', 0.000, 0.050, 0.03, '0.2..0.9 deg of toe per deg of camber, either sign; from memory'),
        ('toe_deg', 'aft', 0.000, 0.030, 0.03, 'either sign; from memory'),
        ('sai_deg', 'out', -0.087, 0.010, 0.12, 'SAI falls by what camber gains; spread from memory'),
        ('sai_deg', 'aft', 0.000, 0.010, 0.12, 'symmetry; spread from memory')
) as priors(response, axis, mean_deg_per_mm, sd_deg_per_mm, noise_sd_deg, source)
