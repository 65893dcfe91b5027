-- Targets of all sites by their angles, each under the name of its site.
select
    site || ' ' || target as target,
    chassis,
    goal_camber_deg as camber_deg,
    camber_tol_deg,
    goal_caster_deg as caster_deg,
    caster_tol_deg,
    goal_toe_deg as toe_deg,
    cross_camber_deg,
    cross_caster_deg
from shared
where kind = 'target'
