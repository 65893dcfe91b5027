-- Invented targets of the benchmark's readings: set no car to them.
select *
from (
    values ('street', -1, 0.5, 4.5, 1, 0.1, 0.1, 0.7, 1), ('track', -2, 0.5, 5, 1, 0, 0.1, 0.7, 1)
) as targets(
    target, camber_deg, camber_tol_deg, caster_deg, caster_tol_deg, toe_deg, toe_tol_deg, cross_camber_max_deg, cross_caster_max_deg
)
