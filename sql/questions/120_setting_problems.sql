-- What the search over marks needs of each asked car, one row each: corners, a list of structs as src/stats/settings/problem.ts has
-- them, left before right. Corners without a plate of the kit, slopes or a goal that can be judged are not in it.
-- asked_kit: kit to fit instead of the present one, or NULL; the other parameters as in asked_corners.
create or replace temp macro setting_problems(
    asked_vehicles, asked_chassis, given_corners, asked_targets, asked_kit
) as table
with
corners as (
    select * from asked_corners(asked_vehicles, asked_chassis, given_corners)
),
plated as (
    select
        corners.*,
        plates.kit as new_kit,
        struct_pack(
            index_count, index_step_deg, axis_deg, pitch_mm, mark_min, mark_max, mark2_min, mark2_max, two_scales,
            centre_out_mm, centre_aft_mm, mark_error_mm2 := mark_error_mm2 * coalesce(variance_ratio, 1)
        ) as plate
    from corners
    inner join plates
        on plates.kit = coalesce(asked_kit, corners.kit)
        and (plates.chassis = corners.chassis or plates.chassis is null)
    left join pointer_errors on pointer_errors.kit = plates.kit
    where mark_min is not null and mark_max is not null
    qualify row_number() over (partition by corners.vehicle, corner order by plates.chassis nulls last) = 1
),
wanted as (
    select unnest(asked_targets) as target, generate_subscripts(asked_targets, 1) as target_order
),
of_chassis as (
    select
        corners.chassis,
        wanted.target_order,
        wanted.target,
        targets.camber_deg,
        targets.camber_tol_deg,
        targets.caster_deg,
        targets.caster_tol_deg,
        targets.toe_deg,
        targets.toe_tol_deg,
        targets.cross_camber_max_deg,
        targets.cross_caster_max_deg,
        coalesce(targets.cross_camber_deg, 0) as cross_camber_deg,
        coalesce(targets.cross_caster_deg, 0) as cross_caster_deg
    from (select distinct chassis from plated) as corners
    cross join wanted
    inner join targets
        on targets.target = wanted.target
        and (targets.chassis = corners.chassis or targets.chassis is null)
    qualify row_number() over (partition by corners.chassis, target_order order by targets.chassis nulls last) = 1
),
-- An angle without a tolerance cannot be judged, nor a target without an angle.
judgeable as (
    select
        chassis,
        side,
        list(
            struct_pack(
                target, target_order, camber_deg := side_goal(side, camber_deg, cross_camber_deg), camber_tol_deg,
                caster_deg := side_goal(side, caster_deg, cross_caster_deg), caster_tol_deg, toe_deg, toe_tol_deg,
                cross_camber_max_deg, cross_caster_max_deg, cross_camber_deg, cross_caster_deg
            )
            order by target_order
        ) as chassis_targets
    from of_chassis
    cross join (select unnest(['FL', 'FR']) as side)
    where coalesce(camber_deg, caster_deg) is not null
        and (camber_deg is null or camber_tol_deg is not null)
        and (caster_deg is null or caster_tol_deg is not null)
    group by chassis, side
),
sloped as (
    select
        chassis,
        response,
        struct_pack(
            slope_out, slope_aft, var_out, var_aft, cov_out_aft, spread_var, basis, move_count
        ) as slope
    from sensitivities
),
sensed as (
    select
        chassis,
        {
            'camber': any_value(slope) filter (where response = 'camber_deg'),
            'caster': any_value(slope) filter (where response = 'caster_deg'),
            'toe': any_value(slope) filter (where response = 'toe_deg')
        } as slopes
    from sloped
    group by chassis
)
select
    vehicle,
    list(
        {
            'vehicle': vehicle,
            'chassis': plated.chassis,
            'corner': corner,
            'kit': kit,
            'new_kit': new_kit,
            'plate_hand': plate_hand,
            'plate_index': plate_index,
            'mark_1': mark_1,
            'mark_2': mark_2,
            'offset_out_mm': offset_out_mm,
            'offset_aft_mm': offset_aft_mm,
            'read_error': read_error,
            'camber': {
                'deg': camber_deg, 'gauge': camber_gauge, 'bias_deg': camber_bias_deg,
                'bias_var_deg2': camber_bias_var_deg2, 'set_up_var_deg2': camber_set_up_var_deg2,
                'next_var_deg2': camber_next_var_deg2, 'mean_var_deg2': camber_mean_var_deg2,
                'var_deg2': camber_var_deg2
            },
            'caster': {
                'deg': caster_deg, 'gauge': caster_gauge, 'bias_deg': caster_bias_deg,
                'bias_var_deg2': caster_bias_var_deg2, 'set_up_var_deg2': caster_set_up_var_deg2,
                'next_var_deg2': caster_next_var_deg2, 'mean_var_deg2': caster_mean_var_deg2,
                'var_deg2': caster_var_deg2
            },
            'toe': {
                'deg': toe_deg, 'gauge': null::varchar, 'bias_deg': toe_bias_deg,
                'bias_var_deg2': toe_bias_var_deg2, 'set_up_var_deg2': toe_set_up_var_deg2,
                'next_var_deg2': toe_next_var_deg2, 'mean_var_deg2': toe_mean_var_deg2, 'var_deg2': toe_var_deg2
            },
            'plate': plate,
            'slopes': slopes,
            'goals': coalesce(chassis_targets, [])
        }
        order by corner
    ) as corners
from plated
left join judgeable on judgeable.chassis is not distinct from plated.chassis and judgeable.side = plated.corner
inner join sensed
    on sensed.chassis is not distinct from case when plated.chassis in (select chassis from sensitivities)
        then plated.chassis end
group by vehicle;
