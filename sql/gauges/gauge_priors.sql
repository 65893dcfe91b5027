-- title: What is expected of gauges and set-ups without data
-- grain: one row per angle
-- source: from memory
-- missing: none
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column bias_sd_deg DOUBLE [deg]: standard deviation between gauges; half of it between people
-- column visit_sd_deg DOUBLE [deg]: standard deviation of what changes from one set-up to the next, besides the reading
-- column session_sd_deg DOUBLE [deg]: standard deviation of what changes over a session that leaves the corner alone, besides the readings
select
    response,
    cast(bias_sd_deg as double) as bias_sd_deg,
    cast(visit_sd_deg as double) as visit_sd_deg,
    cast(session_sd_deg as double) as session_sd_deg
from (
    values
        ('camber_deg', 0.05, 0.06, 0.02),
        ('caster_deg', 0.15, 0.12, 0.04),
        ('toe_deg', 0.03, 0.04, 0.01),
        ('sai_deg', 0.15, 0.12, 0.04)
) as priors(response, bias_sd_deg, visit_sd_deg, session_sd_deg)
