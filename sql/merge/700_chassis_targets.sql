-- Targets of the sites are one where their angles and tolerances are, whatever the sites call them.
select distinct
    chassis,
    concat_ws(
        ', ',
        'camber ' || goal_camber_deg || coalesce(' ±' || camber_tol_deg, ''),
        'caster ' || goal_caster_deg || coalesce(' ±' || caster_tol_deg, ''),
        'toe ' || goal_toe_deg,
        'left minus right camber ' || nullif(cross_camber_deg, 0),
        'left minus right caster ' || nullif(cross_caster_deg, 0)
    ) as target,
    goal_camber_deg,
    camber_tol_deg,
    goal_caster_deg,
    caster_tol_deg,
    goal_toe_deg,
    cross_camber_deg,
    cross_caster_deg
from chassis_targets
where coalesce(goal_camber_deg, goal_caster_deg) is not null
