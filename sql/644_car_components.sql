-- title: What a cause that takes the whole car does to each corner
-- grain: one row per component and corner
-- source: common practice, no source; a cradle moved sideways is the same as both bearings moved the other way (exact geometry)
-- missing: none
-- Sizes are normal about 0. Effects per degree, per millimetre for the cradle.
-- column cause VARCHAR: see drift_causes
-- column component VARCHAR: name, unique
-- column share DOUBLE: share within the cause
-- column sd DOUBLE: standard deviation of the size
-- column corner VARCHAR: FL FR RL RR
-- column out_mm DOUBLE [mm]: move of the bearing outboard that does the same
-- column camber_deg DOUBLE [deg]: camber as read
-- column caster_deg DOUBLE [deg]: caster
-- column toe_deg DOUBLE [deg]: toe as read, camber at equal toe unchanged
-- column toe_read_deg DOUBLE [deg]: toe as read though the wheel stands as before
-- column sai_deg DOUBLE [deg]: SAI
with
corners as (
    select unnest(['FL', 'FR', 'RL', 'RR']) as corner
),
sided as (
    select
        corner,
        case when corner like '%L' then 1 else -1 end as side,
        case when corner like 'F%' then 1 else 0 end as front
    from corners
)
select
    cause,
    component,
    cast(share as double) as share,
    cast(sd as double) as sd,
    corner,
    cast(out_mm as double) as out_mm,
    cast(camber_deg as double) as camber_deg,
    cast(caster_deg as double) as caster_deg,
    cast(toe_deg as double) as toe_deg,
    cast(toe_read_deg as double) as toe_read_deg,
    cast(sai_deg as double) as sai_deg
from (
    select 'none' as cause, 'none' as component, 1 as share, 0 as sd, corner, 0 as out_mm, 0 as camber_deg, 0 as caster_deg,
        0 as toe_deg, 0 as toe_read_deg, 0 as sai_deg
    from sided
    union all
    select 'cradle_moved', 'cradle', 1, 3, corner, -side * front, 0, 0, 0, 0, 0 from sided
    union all
    select 'reference_rolled', 'roll', 1, 0.25, corner, 0, side, 0, 0, 0, -side * front from sided
    union all
    select 'gauge_zero', 'camber zero', 0.5, 0.25, corner, 0, 1, 0, 0, 0, 0 from sided
    union all
    select 'gauge_zero', 'caster zero', 0.3, 0.4, corner, 0, 0, front, 0, 0, 0 from sided
    union all
    select 'gauge_zero', 'toe zero', 0.2, 0.12, corner, 0, 0, 0, 0, 1, 0 from sided
    union all
    select 'steering_off', 'steering', 1, 0.25, corner, 0, 0, 0, side * front, 0, 0 from sided
)
