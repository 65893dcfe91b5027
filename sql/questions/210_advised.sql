-- The setting to dial in: one row per vehicle, target and front corner. Left and right are chosen together: least excess over
-- tolerances and cross limits, then probability p_both, then nearness to the present setting; plates that are as good where they
-- are stay there (as_good). p_both takes left, right and the cross limits as independent, which is a lower bound where the target
-- is met on average (Gaussian correlation inequality, Royen 2014). Intervals are 95 %, of true angles.
-- short_*: change still needed to reach the tolerance; stop: what stands in the way. toe_*_deg per wheel; toe_put_back: what the
-- tie rods have to add for the target's toe, or the present toe where the target names none; toe_between_*: change from the first
-- target's setting to this one with the tie rods untouched; one_toe_deg: toe to set at the first target so that both are met best.
-- asked_diameter: wheel diameter for toe in mm, or NULL.
create or replace temp macro advised(
    asked_vehicles, given_corners, asked_targets, asked_kit, asked_index, asked_hand, mark_step, any_clocking,
    asked_diameter
) as table
with
settings as (
    select
        *,
        row_number() over (
            order by
                vehicle, target_order, corner, plate_hand, plate_index, excess, p_judged desc,
                travel(move_out_mm, move_aft_mm),
                new_mark_1, new_mark_2
        ) as setting_id
    from predicted_settings(
        asked_vehicles, cast(null as varchar), given_corners, asked_targets, asked_kit, asked_index, asked_hand,
            mark_step, any_clocking
    )
),
-- The 200 most promising of each clocking of a corner, and the present one.
promising as (
    select
        vehicle, corner, target_order, plate_hand, plate_index, own_hand, same_clocking, setting_id, new_camber_deg,
        new_caster_deg,
        cross_camber_max_deg, cross_caster_max_deg, excess, p_judged, stay,
        travel(move_out_mm, move_aft_mm) as travel_mm
    from settings
    qualify stay or row_number() over (
        partition by vehicle, corner, target_order, plate_hand, plate_index order by setting_id
    ) <= 200
),
-- A way to clock the pair: one plate of it left, the other right, unless two of one hand sit there now.
pairs as (
    select
        coalesce(lefts.vehicle, rights.vehicle) as vehicle,
        coalesce(lefts.target_order, rights.target_order) as target_order,
        {
            'left_hand': lefts.plate_hand, 'left_index': lefts.plate_index, 'right_hand': rights.plate_hand,
            'right_index': rights.plate_index
        } as way,
        coalesce(lefts.same_clocking, true) and coalesce(rights.same_clocking, true) as present,
        coalesce(lefts.plate_index = rights.plate_index and lefts.plate_hand <> rights.plate_hand, true) as symmetrical,
        coalesce(lefts.plate_hand = lefts.own_hand, true)
            and coalesce(rights.plate_hand = rights.own_hand, true) as own,
        lefts.setting_id as left_id,
        rights.setting_id as right_id,
        lefts.stay or rights.stay as one_stays,
        lefts.new_camber_deg - rights.new_camber_deg as cross_camber_deg,
        lefts.new_caster_deg - rights.new_caster_deg as cross_caster_deg,
        coalesce(lefts.cross_camber_max_deg, rights.cross_camber_max_deg) as cross_camber_max_deg,
        coalesce(lefts.cross_caster_max_deg, rights.cross_caster_max_deg) as cross_caster_max_deg,
        coalesce(lefts.excess, 0) + coalesce(rights.excess, 0) as side_excess,
        coalesce(lefts.p_judged, 1) * coalesce(rights.p_judged, 1) as p_sides,
        coalesce(lefts.travel_mm, 0) + coalesce(rights.travel_mm, 0) as travel_mm
    from (select * from promising where corner = 'FL') as lefts
    full join (select * from promising where corner = 'FR') as rights
        on rights.vehicle = lefts.vehicle and rights.target_order = lefts.target_order
    where lefts.setting_id is null
        or rights.setting_id is null
        or lefts.plate_hand <> rights.plate_hand
        or (lefts.same_clocking and rights.same_clocking)
),
crossed as (
    select
        *,
        round(
            side_excess
                + coalesce(
                    abs(change_needed(cross_camber_deg, 0, cross_camber_max_deg))
                        / greatest(cross_camber_max_deg, 0.05), 0
                )
                + coalesce(
                    abs(change_needed(cross_caster_deg, 0, cross_caster_max_deg))
                        / greatest(cross_caster_max_deg, 0.05), 0
                ),
            6
        ) as pair_excess
    from pairs
),
-- Only pairs of the least excess of their way can be the answer.
least_crossed as (
    select * from crossed qualify pair_excess <= min(pair_excess) over (partition by vehicle, way, target_order) + 1e-6
),
shortlisted as (
    select *
    from least_crossed
    qualify one_stays or row_number() over (
        partition by vehicle, way, target_order order by p_sides desc, travel_mm, left_id, right_id
    ) <= 1000
),
detailed as (
    select shortlisted.*, lefts, rights
    from shortlisted
    left join settings as lefts on lefts.setting_id = left_id
    left join settings as rights on rights.setting_id = right_id
),
-- Left and right share the slopes of the chassis, so only the difference of their moves counts there; and, read with one gauge, its bias.
judged as (
    select
        *,
        p_sides * coalesce(
            normal_box(
                cross_camber_deg,
                cross_var(lefts.told_camber, rights.told_camber)
                    - slope_change_var(lefts.camber_slope, lefts.move_out_mm, lefts.move_aft_mm)
                    - slope_change_var(lefts.camber_slope, rights.move_out_mm, rights.move_aft_mm)
                    + slope_change_var(
                        lefts.camber_slope, lefts.move_out_mm - rights.move_out_mm,
                        lefts.move_aft_mm - rights.move_aft_mm
                    ),
                cross_caster_deg,
                cross_var(lefts.told_caster, rights.told_caster)
                    - slope_change_var(lefts.caster_slope, lefts.move_out_mm, lefts.move_aft_mm)
                    - slope_change_var(lefts.caster_slope, rights.move_out_mm, rights.move_aft_mm)
                    + slope_change_var(
                        lefts.caster_slope, lefts.move_out_mm - rights.move_out_mm,
                        lefts.move_aft_mm - rights.move_aft_mm
                    ),
                lefts.new_angles_cov + rights.new_angles_cov,
                -cross_camber_max_deg, cross_camber_max_deg, -cross_caster_max_deg, cross_caster_max_deg
            ),
            1
        ) as p_both
    from detailed
),
-- Leaving plates alone may cost some probability. It may cost more to leave all of them, so that an answer once set stays.
as_good as (
    select *
    from judged
    qualify p_both >= max(p_both) over (partition by vehicle, way, target_order)
        - case
            when coalesce(lefts.stay, true) and coalesce(rights.stay, true) then 0.03
            when lefts.stay or rights.stay then 0.01
            else 0.0005
        end
),
nearest as (
    select *
    from as_good
    qualify row_number() over (
        partition by vehicle, way, target_order
        order by
            case when lefts.stay then 1 else 0 end + case when rights.stay then 1 else 0 end desc,
            round(travel_mm, 6), p_both desc, left_id, right_id
    ) = 1
),
-- All targets share one way: of the least excess, then the most probable; the present one may cost some probability.
judged_ways as (
    select
        vehicle,
        way,
        any_value(present) as present,
        any_value(symmetrical) as symmetrical,
        any_value(own) as own,
        sum(pair_excess order by target_order) as excess_all,
        product(p_both order by target_order) as p_all
    from nearest
    group by vehicle, way
),
least_ways as (
    select * from judged_ways qualify excess_all <= min(excess_all) over (partition by vehicle) + 1e-6
),
likely_ways as (
    select *
    from least_ways
    qualify p_all >= max(p_all) over (partition by vehicle) - case when present then 0.03 else 0.01 end
),
best_ways as (
    select vehicle, way
    from likely_ways
    qualify row_number() over (
        partition by vehicle order by present desc, symmetrical desc, own desc, round(p_all, 6) desc, way
    ) = 1
),
-- Toe of both wheels together: the chassis' slope acts on the sum of the moves.
totalled as (
    select
        *,
        lefts.toe_change_deg + rights.toe_change_deg as toe_total_change_deg,
        lefts.toe_change_var + rights.toe_change_var
            + 2 * (
                lefts.toe_slope.var_out * lefts.move_out_mm * rights.move_out_mm
                + lefts.toe_slope.cov_out_aft
                    * (lefts.move_out_mm * rights.move_aft_mm + lefts.move_aft_mm * rights.move_out_mm)
                + lefts.toe_slope.var_aft * lefts.move_aft_mm * rights.move_aft_mm
            ) as toe_total_change_var
    from nearest
    inner join best_ways using (vehicle, way)
),
corners as (
    select * exclude (lefts, rights), lefts as setting, rights as other from totalled where left_id is not null
    union all by name
    select * exclude (lefts, rights), rights as setting, lefts as other from totalled where right_id is not null
),
followed as (
    select
        *,
        first(setting) over (partition by vehicle, setting.corner order by target_order) as first_setting
    from corners
),
between_targets as (
    select
        *,
        setting.new_out_mm - first_setting.new_out_mm as between_out_mm,
        setting.new_aft_mm - first_setting.new_aft_mm as between_aft_mm
    from followed
),
toed as (
    select
        *,
        case when target_order > 1
            then slope_change(setting.toe_slope, between_out_mm, between_aft_mm) end as toe_between_deg,
        slope_change_var(setting.toe_slope, between_out_mm, between_aft_mm)
            + spread_change_var(setting.toe_slope, between_out_mm, between_aft_mm)
            + case
                when travel(between_out_mm, between_aft_mm) < 1e-6 then 0
                else 2 * place_error_cov(setting.toe_slope, setting.toe_slope, setting.set_error)
            end as toe_between_var,
        setting.toe_short_deg - setting.toe_change_deg as toe_put_back_deg,
        setting.toe_change_var
            + case when setting.goal_toe - setting.toe_deg is null then 0 else setting.toe_var_deg2 end
            as toe_put_back_var,
        setting.toe_short_deg + other.toe_short_deg
            - toe_total_change_deg as toe_total_put_back_deg,
        toe_total_change_var
            + case when setting.goal_toe - setting.toe_deg is null then 0 else setting.toe_var_deg2 end
            + case when other.goal_toe - other.toe_deg is null then 0
                else other.toe_var_deg2 end as toe_total_put_back_var
    from between_targets
),
-- The toe at the first target that keeps both targets in the middle of what their tolerances leave.
one_toed as (
    select
        *,
        case
            when toe_between_deg + setting.goal_toe + setting.toe_tol_deg + first_setting.goal_toe
                + first_setting.toe_tol_deg is not null
            then least(
                greatest(
                    (
                        greatest(
                            first_setting.goal_toe - first_setting.toe_tol_deg,
                            setting.goal_toe - setting.toe_tol_deg - toe_between_deg
                        )
                        + least(
                            first_setting.goal_toe + first_setting.toe_tol_deg,
                            setting.goal_toe + setting.toe_tol_deg - toe_between_deg
                        )
                    ) / 2,
                    first_setting.goal_toe - first_setting.toe_tol_deg
                ),
                first_setting.goal_toe + first_setting.toe_tol_deg
            )
        end as one_toe_deg
    from toed
)
select
    vehicle,
    setting.chassis,
    setting.corner,
    setting.target,
    target_order,
    setting.new_kit as kit,
    setting.plate_hand,
    setting.plate_index,
    setting.new_mark_1 as mark_1,
    case when setting.two_scales then setting.new_mark_2 end as mark_2,
    setting.mark_min,
    setting.mark_max,
    case when setting.two_scales then setting.mark2_min end as mark2_min,
    case when setting.two_scales then setting.mark2_max end as mark2_max,
    setting.kit as present_kit,
    setting.present_hand,
    setting.present_index,
    setting.present_mark_1,
    case when setting.two_scales then setting.present_mark_2 end as present_mark_2,
    setting.camber_deg as present_camber_deg,
    setting.caster_deg as present_caster_deg,
    setting.toe_deg as present_toe_deg,
    setting.stay,
    setting.same_clocking,
    setting.new_out_mm as offset_out_mm,
    setting.new_aft_mm as offset_aft_mm,
    setting.move_out_mm,
    setting.move_aft_mm,
    setting.new_camber_deg as camber_deg,
    setting.new_camber_deg - normal_quantile(0.975) * sqrt(setting.new_camber_var) as camber_low_deg,
    setting.new_camber_deg + normal_quantile(0.975) * sqrt(setting.new_camber_var) as camber_high_deg,
    unnest(setting.shown),
    setting.new_caster_deg as caster_deg,
    setting.new_caster_deg - normal_quantile(0.975) * sqrt(setting.new_caster_var) as caster_low_deg,
    setting.new_caster_deg + normal_quantile(0.975) * sqrt(setting.new_caster_var) as caster_high_deg,
    setting.excess = 0 as reachable,
    case
        when setting.goal_camber is not null and setting.camber_deg is null then null
        when setting.goal_caster is not null and setting.caster_deg is null then null
        else setting.p_judged
    end as p_in_tolerance,
    p_both,
    setting.short_camber_deg,
    setting.short_caster_deg,
    case when setting.excess > 0 then setting.short_move.out_mm end as short_out_mm,
    case when setting.excess > 0 then setting.short_move.aft_mm end as short_aft_mm,
    case
        when setting.excess = 0 then null
        when travel(setting.short_move.out_mm, setting.short_move.aft_mm) < mark_step * setting.pitch_mm
            then 'between_marks'
        when setting.new_mark_1 in (setting.mark_min, setting.mark_max) then 'scale_end'
        when setting.two_scales and setting.new_mark_2 in (setting.mark2_min, setting.mark2_max) then 'scale_end'
        else 'slot_direction'
    end as stop,
    cross_camber_deg,
    cross_caster_deg,
    setting.cross_camber_max_deg,
    setting.cross_caster_max_deg,
    setting.goal_camber as target_camber_deg,
    setting.camber_tol_deg,
    setting.goal_caster as target_caster_deg,
    setting.caster_tol_deg,
    setting.goal_toe as target_toe_deg,
    setting.toe_tol_deg,
    setting.toe_change_deg,
    setting.toe_change_deg - normal_quantile(0.975) * sqrt(setting.toe_change_var) as toe_change_low_deg,
    setting.toe_change_deg + normal_quantile(0.975) * sqrt(setting.toe_change_var) as toe_change_high_deg,
    toe_total_change_deg,
    toe_total_change_deg - normal_quantile(0.975) * sqrt(toe_total_change_var) as toe_total_change_low_deg,
    toe_total_change_deg + normal_quantile(0.975) * sqrt(toe_total_change_var) as toe_total_change_high_deg,
    toe_put_back_deg,
    toe_put_back_deg - normal_quantile(0.975) * sqrt(toe_put_back_var) as toe_put_back_low_deg,
    toe_put_back_deg + normal_quantile(0.975) * sqrt(toe_put_back_var) as toe_put_back_high_deg,
    toe_in_mm(toe_put_back_deg, asked_diameter) as toe_put_back_mm,
    toe_in_mm(
        toe_put_back_deg - normal_quantile(0.975) * sqrt(toe_put_back_var), asked_diameter
    ) as toe_put_back_low_mm,
    toe_in_mm(
        toe_put_back_deg + normal_quantile(0.975) * sqrt(toe_put_back_var), asked_diameter
    ) as toe_put_back_high_mm,
    toe_total_put_back_deg,
    toe_total_put_back_deg - normal_quantile(0.975) * sqrt(toe_total_put_back_var) as toe_total_put_back_low_deg,
    toe_total_put_back_deg + normal_quantile(0.975) * sqrt(toe_total_put_back_var) as toe_total_put_back_high_deg,
    toe_in_mm(toe_total_put_back_deg, asked_diameter) as toe_total_put_back_mm,
    toe_between_deg,
    case when target_order > 1
        then toe_between_deg - normal_quantile(0.975) * sqrt(toe_between_var) end as toe_between_low_deg,
    case when target_order > 1
        then toe_between_deg + normal_quantile(0.975) * sqrt(toe_between_var) end as toe_between_high_deg,
    sum(toe_between_deg) over (partition by vehicle, target_order)
        + case when count(*) over (partition by vehicle, target_order) = 2 then 0 end as toe_total_between_deg,
    one_toe_deg,
    case
        when one_toe_deg is not null then
            normal_cdf(
                (
                    setting.goal_toe + setting.toe_tol_deg - one_toe_deg - toe_between_deg
                ) / sqrt(greatest(toe_between_var, 1e-12))
            )
            - normal_cdf(
                (
                    setting.goal_toe - setting.toe_tol_deg - one_toe_deg - toe_between_deg
                ) / sqrt(greatest(toe_between_var, 1e-12))
            )
    end as p_one_toe,
    setting.camber_slope.basis as camber_basis,
    setting.caster_slope.basis as caster_basis,
    setting.toe_slope.basis as toe_basis,
    setting.camber_slope.move_count as camber_move_count,
    setting.caster_slope.move_count as caster_move_count,
    setting.toe_slope.move_count as toe_move_count
from one_toed;
