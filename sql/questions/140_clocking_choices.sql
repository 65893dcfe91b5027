-- Ways to clock the mirrored pair: one row per way, corner and target, with the best setting of that corner for that target.
-- A way gives each front a plate of the pair and an index; both plates of one hand count only where they sit there now.
-- keep_caster: settings that leave less caster than the original mount do not count. excess_all, p_all: over all corners and
-- targets of the way; spare_mm: least travel left between a best setting and an end of a scale.
create or replace temp macro clocking_choices(
    asked_vehicles, asked_chassis, given_corners, asked_targets, asked_kit, asked_index, asked_hand, mark_step,
    any_clocking, keep_caster
) as table
with
predicted as (
    select
        *,
        not (keep_caster and slope_change(caster_slope, new_out_mm, new_aft_mm) < -1e-9) as allowed
    from predicted_settings(
        asked_vehicles, asked_chassis, given_corners, asked_targets, asked_kit, asked_index, asked_hand,
        mark_step, any_clocking
    )
),
areas as (
    select
        vehicle, corner, target_order, plate_hand, plate_index,
        min(new_camber_deg) as camber_min_deg,
        max(new_camber_deg) as camber_max_deg,
        min(new_caster_deg) as caster_min_deg,
        max(new_caster_deg) as caster_max_deg
    from predicted
    group by vehicle, corner, target_order, plate_hand, plate_index
),
best as (
    select
        *,
        case when allowed then excess else 1e6 end as counted_excess,
        case when allowed then p_judged else 0 end as counted_p,
        pitch_mm * least(
            new_mark_1 - mark_min,
            mark_max - new_mark_1,
            case when two_scales then new_mark_2 - mark2_min else mark_max - mark_min end,
            case when two_scales then mark2_max - new_mark_2 else mark_max - mark_min end
        ) as spare_mm
    from predicted
    qualify row_number() over (
        partition by vehicle, corner, target_order, plate_hand, plate_index
        order by allowed desc, excess, p_judged desc, travel(move_out_mm, move_aft_mm), new_mark_1, new_mark_2
    ) = 1
),
sides as (
    select
        vehicle, corner, plate_hand, plate_index, same_clocking,
        plate_hand = own_hand as own,
        sum(counted_excess order by target_order) as excess,
        product(counted_p order by target_order) as p,
        min(spare_mm) as spare_mm
    from best
    group by vehicle, corner, plate_hand, plate_index, same_clocking, own_hand
),
lefts as (
    select * from sides where corner = 'FL'
),
rights as (
    select * from sides where corner = 'FR'
),
ways as (
    select
        lefts.vehicle,
        lefts.plate_hand as left_hand,
        lefts.plate_index as left_index,
        rights.plate_hand as right_hand,
        rights.plate_index as right_index,
        lefts.excess + rights.excess as excess_all,
        lefts.p * rights.p as p_all,
        least(lefts.spare_mm, rights.spare_mm) as spare_mm,
        lefts.plate_index = rights.plate_index and lefts.plate_hand <> rights.plate_hand as symmetrical,
        lefts.same_clocking and rights.same_clocking as present,
        lefts.own and rights.own as own
    from lefts
    inner join rights
        on rights.vehicle = lefts.vehicle
        and (rights.plate_hand <> lefts.plate_hand or (rights.same_clocking and lefts.same_clocking))
    union all
    select vehicle, plate_hand, plate_index, null, null, excess, p, spare_mm, true, same_clocking, own
    from lefts
    where vehicle not in (select vehicle from rights)
    union all
    select vehicle, null, null, plate_hand, plate_index, excess, p, spare_mm, true, same_clocking, own
    from rights
    where vehicle not in (select vehicle from lefts)
)
select
    best.*,
    areas.* exclude (vehicle, corner, target_order, plate_hand, plate_index),
    left_hand,
    left_index,
    right_hand,
    right_index,
    excess_all,
    p_all,
    ways.spare_mm as spare_all_mm,
    symmetrical,
    present,
    own
from ways
inner join best
    on best.vehicle = ways.vehicle
    and best.plate_hand = case best.corner when 'FL' then left_hand else right_hand end
    and best.plate_index = case best.corner when 'FL' then left_index else right_index end
inner join areas
    on areas.vehicle = best.vehicle
    and areas.corner = best.corner
    and areas.target_order = best.target_order
    and areas.plate_hand = best.plate_hand
    and areas.plate_index = best.plate_index;
