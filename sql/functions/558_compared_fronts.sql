-- Fronts over a session that can be compared, as their likelihoods read them: one row per corner session, from the tables whose names
-- are given (session_corners, sensitivities, slip_ends). What was not read before and after has change 0, variance 1 and read 0, so that
-- it adds nothing. Columns beside those of session_corners:
-- side: 1 on the left, -1 on the right
-- camber_deg caster_deg sai_deg toe_deg pointer_out_mm pointer_aft_mm: changes
-- *_read: 1 where read, else 0; *_var: variance of the change when nothing happened
-- toe_part: degrees that camber as read falls per degree of toe, 0 where it is at equal toe
-- toe_read_part: degrees that camber at equal toe rises per degree that toe is read wrong
-- *_out *_aft: effect of a millimetre outboard and rearward on the angle, camber at equal toe where toe was read, else as read
-- *_move_var: variance of the effect of a move in any direction, per mm2, from what is not known of the slopes; *_across_var: outboard, 0 where not read
-- *_1 *_2: effect of a slip in its first direction (along a slot, outboard in a plane) and its second (rearward in a plane, none
-- along a slot); pointer_1_out pointer_1_aft pointer_2_out pointer_2_aft: the directions; *_slip_var: variance of the effect per mm2, 0 where not read
-- toe_ratio toe_ratio_var: degrees of toe per degree of camber when the bearing moves outboard
-- p_toe_in p_toe_out: probability that toe falls, rises as camber rises; 0 under one in a million
-- up_shares down_shares: see slip_ends; NULL where the ends of a slot are not known, and in a plane
create or replace temp macro compared_fronts(corners, slopes, ends) as table
with
chassis_slopes as (
    select
        chassis,
        any_value(per_response) filter (where response = 'camber_deg') as camber,
        any_value(per_response) filter (where response = 'caster_deg') as caster,
        any_value(per_response) filter (where response = 'sai_deg') as sai,
        any_value(per_response) filter (where response = 'toe_deg') as toe
    from query_table(slopes) as per_response
    where chassis is not null
    group by chassis
),
ratios as (
    select
        *,
        toe.slope_out / camber.slope_out as toe_ratio,
        sqrt(toe.var_out + toe.spread_var) / abs(camber.slope_out) as toe_ratio_sd,
        normal_cdf(-toe_ratio / toe_ratio_sd) as p_toe_in,
        normal_cdf(toe_ratio / toe_ratio_sd) as p_toe_out
    from chassis_slopes
),
directed as (
    select
        corners.*,
        ratios.* exclude (chassis),
        up_shares,
        down_shares,
        case when equal_toe then 0 else coalesce(tan_caster, 0) end as toe_part,
        case when equal_toe then tan_caster else 0 end as toe_read_part,
        case freedom when 'slot' then slot_out when 'plane' then 1 else 0 end as out_1,
        case freedom when 'slot' then slot_aft else 0 end as aft_1,
        case freedom when 'plane' then 1 else 0 end as aft_2
    from query_table(corners) as corners
    inner join ratios on ratios.chassis = corners.chassis
    left join query_table(ends) as scale_ends
        on scale_ends.chassis = corners.chassis
        and scale_ends.low_mm = case freedom when 'slot' then corners.low_mm end
        and scale_ends.high_mm = corners.high_mm
    where corners.missing is null
),
moved as (
    select
        *,
        camber.slope_out - toe_part * toe.slope_out as camber_out,
        caster.slope_out as caster_out,
        sai.slope_out as sai_out,
        toe.slope_out as toe_out,
        camber.slope_aft - toe_part * toe.slope_aft as camber_aft,
        caster.slope_aft as caster_aft,
        sai.slope_aft as sai_aft,
        toe.slope_aft as toe_aft,
        (camber.var_out + camber.var_aft) / 2 + camber.spread_var as camber_any_var,
        (caster.var_out + caster.var_aft) / 2 + caster.spread_var as caster_any_var,
        (sai.var_out + sai.var_aft) / 2 + sai.spread_var as sai_any_var,
        (toe.var_out + toe.var_aft) / 2 + toe.spread_var as toe_any_var,
        case freedom when 'slot' then slope_change_var(camber, out_1, aft_1) + camber.spread_var else camber_any_var end as camber_way_var,
        case freedom when 'slot' then slope_change_var(caster, out_1, aft_1) + caster.spread_var else caster_any_var end as caster_way_var,
        case freedom when 'slot' then slope_change_var(sai, out_1, aft_1) + sai.spread_var else sai_any_var end as sai_way_var,
        case freedom when 'slot' then slope_change_var(toe, out_1, aft_1) + toe.spread_var else toe_any_var end as toe_way_var
    from directed
)
select
    chassis,
    vehicle,
    corner,
    visit,
    plate_hand,
    slot_out,
    slot_aft,
    cast(case corner when 'FL' then 1 else -1 end as double) as side,
    freedom,
    coalesce(camber_deg, 0) as camber_deg,
    coalesce(caster_deg, 0) as caster_deg,
    coalesce(sai_deg, 0) as sai_deg,
    coalesce(toe_deg, 0) as toe_deg,
    coalesce(pointer_out_mm, 0) as pointer_out_mm,
    coalesce(pointer_aft_mm, 0) as pointer_aft_mm,
    cast(case when camber_deg is null then 0 else 1 end as double) as camber_read,
    cast(case when caster_deg is null then 0 else 1 end as double) as caster_read,
    cast(case when sai_deg is null then 0 else 1 end as double) as sai_read,
    cast(case when toe_deg is null then 0 else 1 end as double) as toe_read,
    cast(case when pointer_out_mm is null then 0 else 1 end as double) as pointer_read,
    case when camber_deg is null then 1 else camber_var_deg2 end as camber_var,
    case when caster_deg is null then 1 else caster_var_deg2 end as caster_var,
    case when sai_deg is null then 1 else sai_var_deg2 end as sai_var,
    case when toe_deg is null then 1 else toe_var_deg2 end as toe_var,
    coalesce(pointer_var_mm2, 1) as pointer_var,
    toe_part,
    toe_read_part,
    camber_out,
    caster_out,
    sai_out,
    toe_out,
    camber_aft,
    caster_aft,
    sai_aft,
    toe_aft,
    camber_any_var + toe_part * toe_part * toe_any_var as camber_move_var,
    caster_any_var as caster_move_var,
    sai_any_var as sai_move_var,
    toe_any_var as toe_move_var,
    camber_read * (camber.var_out + camber.spread_var) as camber_across_var,
    caster_read * (caster.var_out + caster.spread_var) as caster_across_var,
    sai_read * (sai.var_out + sai.spread_var) as sai_across_var,
    toe_read * (toe.var_out + toe.spread_var) as toe_across_var,
    cast(out_1 as double) as pointer_1_out,
    cast(aft_1 as double) as pointer_1_aft,
    cast(0 as double) as pointer_2_out,
    cast(aft_2 as double) as pointer_2_aft,
    out_1 * camber_out + aft_1 * camber_aft as camber_1,
    out_1 * caster_out + aft_1 * caster_aft as caster_1,
    out_1 * sai_out + aft_1 * sai_aft as sai_1,
    out_1 * toe_out + aft_1 * toe_aft as toe_1,
    aft_2 * camber_aft as camber_2,
    aft_2 * caster_aft as caster_2,
    aft_2 * sai_aft as sai_2,
    aft_2 * toe_aft as toe_2,
    camber_read * (camber_way_var + toe_part * toe_part * toe_way_var) as camber_slip_var,
    caster_read * caster_way_var as caster_slip_var,
    sai_read * sai_way_var as sai_slip_var,
    toe_read * toe_way_var as toe_slip_var,
    toe_ratio,
    toe_ratio_sd * toe_ratio_sd as toe_ratio_var,
    case when p_toe_in > 1e-6 then p_toe_in else 0 end as p_toe_in,
    case when p_toe_out > 1e-6 then p_toe_out else 0 end as p_toe_out,
    up_shares,
    down_shares
from moved;
