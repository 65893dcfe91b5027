-- The ways to clock the pair, best first: one row per way, corner and target. Ways that reach every target come first, then those
-- with a higher probability; 0.05 is added for a symmetrical way, so that left and right are alike unless that costs more; then
-- by spare travel. best_camber and the like: expected angles at the best setting.
create or replace temp macro clocked(
    asked_vehicles, asked_chassis, given_corners, asked_targets, asked_kit, asked_index, asked_hand,
    mark_step, keep_caster
) as table
with
choices as (
    select
        *,
        case when excess_all < 1e-6 then 0 else excess_all end as far,
        round(p_all + case when symmetrical then 0.05 else 0 end, 2) as preference
    from clocking_choices(
        asked_vehicles, asked_chassis, given_corners, asked_targets, asked_kit, asked_index, asked_hand, mark_step,
        true, keep_caster
    )
)
select
    dense_rank() over (
        partition by vehicle
        order by
            far, preference desc, round(spare_all_mm, 3) desc, own desc, p_all desc, left_index, right_index,
            left_hand, right_hand
    ) as rank,
    vehicle,
    chassis,
    corner,
    target,
    target_order,
    new_kit as kit,
    plate_hand,
    plate_index,
    symmetrical,
    own as own_hands,
    present,
    camber_min_deg,
    camber_max_deg,
    caster_min_deg,
    caster_max_deg,
    new_mark_1 as mark_1,
    case when two_scales then new_mark_2 end as mark_2,
    mark_min,
    mark_max,
    new_camber_deg as camber_deg,
    new_caster_deg as caster_deg,
    new_out_mm as offset_out_mm,
    new_aft_mm as offset_aft_mm,
    camber_deg as present_camber_deg,
    caster_deg as present_caster_deg,
    goal_camber as target_camber_deg,
    camber_tol_deg,
    goal_caster as target_caster_deg,
    caster_tol_deg,
    allowed,
    allowed and excess = 0 as reachable,
    case
        when goal_camber is not null and present_camber_deg is null then null
        when goal_caster is not null and present_caster_deg is null then null
        when allowed then p_judged
        else 0
    end as p_in_tolerance,
    p_all,
    spare_mm,
    short_camber_deg,
    short_caster_deg,
    camber_slope.basis as camber_basis,
    caster_slope.basis as caster_basis
from choices;
