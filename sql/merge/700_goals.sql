-- Targets of the sites are one where their angles and tolerances are, whatever the sites call them.
select distinct
    chassis,
    concat_ws(
        ', ',
        'camber ' || goal_camber_deg || coalesce(' ±' || camber_tol_deg, ''),
        'caster ' || goal_caster_deg || coalesce(' ±' || caster_tol_deg, ''),
        'toe ' || goal_toe_deg
    ) as target,
    goal_camber_deg,
    camber_tol_deg,
    goal_caster_deg,
    caster_tol_deg,
    goal_toe_deg
from goals
where coalesce(goal_camber_deg, goal_caster_deg) is not null
