-- Angles that each setting of the asked corners is expected to give, per target: one row per corner, setting and target.
-- Angles are true ones at the target's toe (present toe where the target names none). *_shown: what one reading by who read the present
-- angle will show, by a set-up of its own: the bias of one and the same gauge cancels.
-- excess: how far the expected angles lie outside the tolerance, in tolerances (0 = inside). p_judged: bivariate normal
-- probability that both lie inside, of the angles that were read.
create or replace temp macro predicted_settings(
    asked_vehicles, asked_chassis, given_corners, asked_targets, asked_kit, asked_index, asked_hand,
    mark_step, any_clocking
) as table
with
settings as (
    select *
    from plate_settings(
        asked_vehicles, asked_chassis, given_corners, asked_kit, asked_index, asked_hand, mark_step, any_clocking
    )
),
wanted as (
    select unnest(asked_targets) as target, generate_subscripts(asked_targets, 1) as target_order
),
goals as (
    select
        corners.chassis,
        wanted.target,
        wanted.target_order,
        targets.camber_deg as goal_camber,
        camber_tol_deg,
        targets.caster_deg as goal_caster,
        caster_tol_deg,
        targets.toe_deg as goal_toe,
        toe_tol_deg,
        cross_camber_max_deg,
        cross_caster_max_deg
    from (select distinct chassis from settings) as corners
    cross join wanted
    inner join targets
        on targets.target = wanted.target
        and (targets.chassis = corners.chassis or targets.chassis is null)
    qualify row_number() over (partition by corners.chassis, target_order order by targets.chassis nulls last) = 1
),
-- An angle without a tolerance cannot be judged, nor a target without an angle.
judgeable as (
    select *
    from goals
    where coalesce(goal_camber, goal_caster) is not null
        and (goal_camber is null or camber_tol_deg is not null)
        and (goal_caster is null or caster_tol_deg is not null)
),
slopes_of as (
    select
        chassis,
        response,
        {
            'slope_out': slope_out, 'slope_aft': slope_aft, 'var_out': var_out, 'var_aft': var_aft,
            'cov_out_aft': cov_out_aft,
            'spread_var': spread_var, 'basis': basis, 'move_count': move_count
        } as slope
    from sensitivities
),
sensed as (
    select
        chassis,
        any_value(slope) filter (where response = 'camber_deg') as camber_slope,
        any_value(slope) filter (where response = 'caster_deg') as caster_slope,
        any_value(slope) filter (where response = 'toe_deg') as toe_slope
    from slopes_of
    group by chassis
),
joined as (
    select
        settings.*,
        judgeable.* exclude (chassis),
        -- An angle that was not read cannot be judged.
        case when camber_deg is not null then judgeable.goal_camber end as judged_camber,
        case when caster_deg is not null then judgeable.goal_caster end as judged_caster,
        camber_slope,
        caster_slope,
        toe_slope,
        new_out_mm - offset_out_mm as move_out_mm,
        new_aft_mm - offset_aft_mm as move_aft_mm
    from settings
    inner join judgeable on judgeable.chassis is not distinct from settings.chassis
    inner join sensed
        on sensed.chassis is not distinct from case when settings.chassis in (select chassis from sensitivities)
            then settings.chassis end
),
expected as (
    select
        *,
        -- A wheel that toes in by 1 deg about an axis with caster t loses tan(t) deg of camber.
        camber_deg - coalesce(camber_bias_deg, 0) + slope_change(camber_slope, move_out_mm, move_aft_mm)
            - coalesce(tan_deg(caster_deg) * (goal_toe - toe_deg + coalesce(toe_bias_deg, 0)), 0) as new_camber_deg,
        new_camber_deg + camber_bias_deg as shown_camber_deg,
        camber_var_deg2 + slope_change_var(camber_slope, move_out_mm, move_aft_mm)
            + spread_change_var(camber_slope, move_out_mm, move_aft_mm)
            + place_error_cov(camber_slope, camber_slope, place_error) as new_camber_var,
        new_camber_var - camber_bias_var_deg2 + camber_set_up_var_deg2 + camber_one_var_deg2 as shown_camber_var,
        caster_deg - coalesce(caster_bias_deg, 0) + slope_change(caster_slope, move_out_mm, move_aft_mm)
            as new_caster_deg,
        new_caster_deg + caster_bias_deg as shown_caster_deg,
        caster_var_deg2 + slope_change_var(caster_slope, move_out_mm, move_aft_mm)
            + spread_change_var(caster_slope, move_out_mm, move_aft_mm)
            + place_error_cov(caster_slope, caster_slope, place_error) as new_caster_var,
        new_caster_var - caster_bias_var_deg2 + caster_set_up_var_deg2 + caster_one_var_deg2 as shown_caster_var,
        place_error_cov(camber_slope, caster_slope, place_error) as new_angles_cov,
        slope_change(toe_slope, move_out_mm, move_aft_mm) as toe_change_deg,
        slope_change_var(toe_slope, move_out_mm, move_aft_mm) + spread_change_var(toe_slope, move_out_mm, move_aft_mm)
            + place_error_cov(toe_slope, toe_slope, place_error) as toe_change_var
    from joined
),
short as (
    select
        *,
        case when judged_camber is not null
            then change_needed(new_camber_deg, judged_camber, camber_tol_deg) end as short_camber_deg,
        case when judged_caster is not null
            then change_needed(new_caster_deg, judged_caster, caster_tol_deg) end as short_caster_deg
    from expected
)
select
    *,
    move_needed(camber_slope, caster_slope, short_camber_deg, short_caster_deg) as short_move,
    coalesce(goal_toe - toe_deg + coalesce(toe_bias_deg, 0), 0) as toe_short_deg,
    {'var': new_camber_var, 'gauge': camber_gauge, 'bias_var': camber_bias_var_deg2} as told_camber,
    {'var': new_caster_var, 'gauge': caster_gauge, 'bias_var': caster_bias_var_deg2} as told_caster,
    {
        'camber_shown_deg': shown_camber_deg,
        'camber_shown_low_deg': shown_camber_deg - normal_quantile(0.975) * sqrt(shown_camber_var),
        'camber_shown_high_deg': shown_camber_deg + normal_quantile(0.975) * sqrt(shown_camber_var),
        'camber_repeat_sd_deg': sqrt(camber_mean_var_deg2),
        'camber_set_up_sd_deg': sqrt(camber_set_up_var_deg2),
        'camber_bias_deg': camber_bias_deg,
        'camber_bias_sd_deg': sqrt(camber_bias_var_deg2),
        'camber_move_sd_deg': sqrt(greatest(new_camber_var - camber_var_deg2, 0)),
        'caster_shown_deg': shown_caster_deg,
        'caster_shown_low_deg': shown_caster_deg - normal_quantile(0.975) * sqrt(shown_caster_var),
        'caster_shown_high_deg': shown_caster_deg + normal_quantile(0.975) * sqrt(shown_caster_var),
        'caster_repeat_sd_deg': sqrt(caster_mean_var_deg2),
        'caster_set_up_sd_deg': sqrt(caster_set_up_var_deg2),
        'caster_bias_deg': caster_bias_deg,
        'caster_bias_sd_deg': sqrt(caster_bias_var_deg2),
        'caster_move_sd_deg': sqrt(greatest(new_caster_var - caster_var_deg2, 0))
    } as shown,
    round(
        coalesce(abs(short_camber_deg) / greatest(camber_tol_deg, 0.05), 0)
            + coalesce(abs(short_caster_deg) / greatest(caster_tol_deg, 0.05), 0),
        6
    ) as excess,
    normal_box(
        coalesce(new_camber_deg, 0), coalesce(new_camber_var, 1), coalesce(new_caster_deg, 0),
        coalesce(new_caster_var, 1),
        coalesce(new_angles_cov, 0),
        judged_camber - camber_tol_deg, judged_camber + camber_tol_deg, judged_caster - caster_tol_deg,
        judged_caster + caster_tol_deg
    ) as p_judged
from short;
