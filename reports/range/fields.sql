-- Degrees per mm and tolerances behind the clouds, one row per chassis and target.
select
    group_rank,
    chassis_targets.chassis,
    chassis_targets.target,
    camber.slope_out as camber_out_deg_per_mm,
    camber.slope_aft as camber_aft_deg_per_mm,
    case when goal_camber_deg is not null then camber_tol_deg end as camber_tol_deg,
    caster.slope_out as caster_out_deg_per_mm,
    caster.slope_aft as caster_aft_deg_per_mm,
    case when goal_caster_deg is not null then caster_tol_deg end as caster_tol_deg,
    camber.basis as camber_basis,
    caster.basis as caster_basis
from range_groups($chassis::varchar, $target::varchar) as groups
inner join chassis_targets on chassis_targets.chassis = groups.chassis and chassis_targets.target = groups.target
inner join sensitivities as camber on camber.chassis = groups.chassis and camber.response = 'camber_deg'
inner join sensitivities as caster on caster.chassis = groups.chassis and caster.response = 'caster_deg'
where group_rank <= 24
order by group_rank
