-- Tracks that do not hold one level.
select
    vehicle,
    corner,
    kit,
    response,
    point_count,
    session_count,
    creep_deg_per_session,
    creep_low_deg,
    creep_high_deg,
    step_deg,
    step_visit,
    pattern
from setting_trends
where session_count >= 3 and ($vehicle::varchar is null or vehicle = $vehicle)
order by vehicle, corner, response, kit
