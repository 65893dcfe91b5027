-- title: What each target wants of each chassis
-- grain: one row per chassis of the readings and target that applies to it
-- source: readings, targets (the row of the chassis before the row for any chassis)
-- missing: an angle that the target does not name is NULL; a tolerance or limit that it does not give is NULL
-- column chassis VARCHAR: platform code
-- column target VARCHAR: target
-- column goal_camber_deg DOUBLE [deg]: wanted camber, middle of left and right
-- column camber_tol_deg DOUBLE [deg]: plus or minus
-- column goal_caster_deg DOUBLE [deg]: wanted caster, middle of left and right
-- column caster_tol_deg DOUBLE [deg]: plus or minus
-- column goal_toe_deg DOUBLE [deg]: wanted toe per wheel
-- column toe_tol_deg DOUBLE [deg]: plus or minus
-- column cross_camber_max_deg DOUBLE [deg]: largest left minus right less cross_camber_deg, absolute
-- column cross_caster_max_deg DOUBLE [deg]: largest left minus right less cross_caster_deg, absolute
-- column cross_camber_deg DOUBLE [deg]: wanted left minus right
-- column cross_caster_deg DOUBLE [deg]: wanted left minus right
with
known_chassis as (
    select distinct chassis from readings
)
select
    known_chassis.chassis,
    targets.target,
    targets.camber_deg as goal_camber_deg,
    targets.camber_tol_deg,
    targets.caster_deg as goal_caster_deg,
    targets.caster_tol_deg,
    targets.toe_deg as goal_toe_deg,
    targets.toe_tol_deg,
    targets.cross_camber_max_deg,
    targets.cross_caster_max_deg,
    coalesce(targets.cross_camber_deg, 0) as cross_camber_deg,
    coalesce(targets.cross_caster_deg, 0) as cross_caster_deg
from known_chassis
inner join targets on targets.chassis = known_chassis.chassis or targets.chassis is null
qualify row_number() over (partition by known_chassis.chassis, targets.target order by targets.chassis nulls last) = 1
