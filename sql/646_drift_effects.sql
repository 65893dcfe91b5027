-- title: What each pattern would do to a corner
-- grain: one row per corner session that can be compared and pattern
-- source: session_corners, sensitivities
-- missing: none; an angle that was not read takes no part later
-- Effects on camber (at equal toe where toe was read, else as read), caster, SAI and toe per unit of size; var_*: variance of the
-- effect per unit squared from what is not known of the slopes. Exact but for sizes: a slip acts through the slopes; a strut bent
-- over the knuckle turns the knuckle about the ball joint, so toe follows camber as in a slip while SAI stays; an arm moves SAI
-- against camber and drags the tie rod, 4.8 +- 0.6 deg of toe per deg of camber against the chassis' own ratio (common practice).
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR
-- column visit VARCHAR: visit
-- column pattern VARCHAR: slip move held spindle strut toe arm_toe_in arm_toe_out caster sai toe_read unexplained
-- column p_pattern DOUBLE: probability that the pattern has its sign of toe on this chassis
-- column camber_1 DOUBLE: first direction: along the slot, outboard in a plane
-- column caster_1 DOUBLE: first direction
-- column sai_1 DOUBLE: first direction
-- column toe_1 DOUBLE: first direction
-- column camber_2 DOUBLE: second direction: rearward in a plane
-- column caster_2 DOUBLE: second direction
-- column sai_2 DOUBLE: second direction
-- column toe_2 DOUBLE: second direction
-- column camber_var DOUBLE: variance per unit squared
-- column caster_var DOUBLE: variance per unit squared
-- column sai_var DOUBLE: variance per unit squared
-- column toe_var DOUBLE: variance per unit squared
-- column fixed_var DOUBLE [deg2]: variance added whatever the size
-- column pointer_1_out DOUBLE: move of the pointer outboard, first direction
-- column pointer_1_aft DOUBLE: rearward, first direction
-- column pointer_2_out DOUBLE: outboard, second direction
-- column pointer_2_aft DOUBLE: rearward, second direction
with
sloped as (
    select
        corners.*,
        camber,
        caster,
        sai,
        toe,
        case when equal_toe then 0 else coalesce(tan_caster, 0) end as toe_part,
        toe.slope_out / camber.slope_out as toe_ratio,
        sqrt(toe.var_out + toe.spread_var) / abs(camber.slope_out) as toe_ratio_sd
    from session_corners as corners
    inner join sensitivities as camber on camber.chassis = corners.chassis and camber.response = 'camber_deg'
    inner join sensitivities as caster on caster.chassis = corners.chassis and caster.response = 'caster_deg'
    inner join sensitivities as sai on sai.chassis = corners.chassis and sai.response = 'sai_deg'
    inner join sensitivities as toe on toe.chassis = corners.chassis and toe.response = 'toe_deg'
    where corners.missing is null
),
moves as (
    select *, slot_out as out_1, slot_aft as aft_1, 0 as out_2, 0 as aft_2
    from sloped
    cross join (select 'slip' as pattern)
    where freedom = 'slot'
    union all by name
    select *, 1 as out_1, 0 as aft_1, 0 as out_2, 1 as aft_2
    from sloped
    cross join (select unnest(['slip', 'move']) as pattern)
    where (freedom = 'plane') = (pattern = 'slip')
),
moved as (
    select
        vehicle,
        corner,
        visit,
        pattern,
        1 as p_pattern,
        slope_change(camber, out_1, aft_1) as camber_at_toe_1,
        slope_change(caster, out_1, aft_1) as caster_1,
        slope_change(sai, out_1, aft_1) as sai_1,
        slope_change(toe, out_1, aft_1) as toe_1,
        slope_change(camber, out_2, aft_2) as camber_at_toe_2,
        slope_change(caster, out_2, aft_2) as caster_2,
        slope_change(sai, out_2, aft_2) as sai_2,
        slope_change(toe, out_2, aft_2) as toe_2,
        case when out_2 = 0 and aft_2 = 0 then slope_change_var(camber, out_1, aft_1) else (camber.var_out + camber.var_aft) / 2 end
            + camber.spread_var as camber_var,
        case when out_2 = 0 and aft_2 = 0 then slope_change_var(caster, out_1, aft_1) else (caster.var_out + caster.var_aft) / 2 end
            + caster.spread_var as caster_var,
        case when out_2 = 0 and aft_2 = 0 then slope_change_var(sai, out_1, aft_1) else (sai.var_out + sai.var_aft) / 2 end
            + sai.spread_var as sai_var,
        case when out_2 = 0 and aft_2 = 0 then slope_change_var(toe, out_1, aft_1) else (toe.var_out + toe.var_aft) / 2 end
            + toe.spread_var as toe_var,
        0 as fixed_var,
        out_1 as pointer_1_out,
        aft_1 as pointer_1_aft,
        out_2 as pointer_2_out,
        aft_2 as pointer_2_aft,
        toe_part
    from moves
),
others as (
    select
        vehicle,
        corner,
        visit,
        pattern,
        case pattern
            when 'arm_toe_in' then normal_cdf(-toe_ratio / toe_ratio_sd)
            when 'arm_toe_out' then normal_cdf(toe_ratio / toe_ratio_sd)
            else 1
        end as p_pattern,
        case when pattern in ('spindle', 'strut', 'arm_toe_in', 'arm_toe_out') then 1 when pattern = 'toe_read' then coalesce(tan_caster, 0) else 0 end
            as camber_at_toe_1,
        case when pattern = 'caster' then 1 else 0 end as caster_1,
        case pattern when 'sai' then 1 when 'arm_toe_in' then -1 when 'arm_toe_out' then -1 else 0 end as sai_1,
        case pattern
            when 'toe' then 1
            when 'toe_read' then 1
            when 'strut' then toe_ratio
            when 'arm_toe_in' then 4.8
            when 'arm_toe_out' then -4.8
            else 0
        end as toe_1,
        0 as camber_at_toe_2,
        0 as caster_2,
        0 as sai_2,
        0 as toe_2,
        0 as camber_var,
        0 as caster_var,
        0 as sai_var,
        case pattern when 'strut' then power(toe_ratio_sd, 2) when 'arm_toe_in' then 0.36 when 'arm_toe_out' then 0.36 else 0 end as toe_var,
        case pattern when 'unexplained' then 1 else 0 end as fixed_var,
        0 as pointer_1_out,
        0 as pointer_1_aft,
        0 as pointer_2_out,
        0 as pointer_2_aft,
        toe_part
    from sloped
    cross join (
        select unnest(['held', 'spindle', 'strut', 'toe', 'arm_toe_in', 'arm_toe_out', 'caster', 'sai', 'toe_read', 'unexplained']) as pattern
    )
),
every_pattern as (
    select * from moved
    union all by name
    select * from others
)
select
    vehicle,
    corner,
    visit,
    pattern,
    cast(p_pattern as double) as p_pattern,
    cast(camber_at_toe_1 - toe_part * toe_1 as double) as camber_1,
    cast(caster_1 as double) as caster_1,
    cast(sai_1 as double) as sai_1,
    cast(toe_1 as double) as toe_1,
    cast(camber_at_toe_2 - toe_part * toe_2 as double) as camber_2,
    cast(caster_2 as double) as caster_2,
    cast(sai_2 as double) as sai_2,
    cast(toe_2 as double) as toe_2,
    cast(camber_var + toe_part * toe_part * toe_var as double) as camber_var,
    cast(caster_var as double) as caster_var,
    cast(sai_var as double) as sai_var,
    cast(toe_var as double) as toe_var,
    cast(fixed_var as double) as fixed_var,
    cast(pointer_1_out as double) as pointer_1_out,
    cast(pointer_1_aft as double) as pointer_1_aft,
    cast(pointer_2_out as double) as pointer_2_out,
    cast(pointer_2_aft as double) as pointer_2_aft
from every_pattern
