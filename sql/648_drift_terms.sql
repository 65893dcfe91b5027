-- title: What the readings of a corner say of each component of a cause
-- grain: one row per corner session, component of a cause on the corner, and component of a cause on the car
-- source: session_corners, drift_effects, drift_components, car_components, sensitivities
-- missing: an angle that was not read is integrated out: it adds nothing
-- With z the size of the car's cause, -2 ln likelihood = deviance - 2 z linear + z^2 quadratic, constants left out that all
-- components of a corner share. The size of the corner's cause is integrated out (normal about the component's mean), in one or two
-- directions: with D the diagonal of noise and slope uncertainty, e1 and e2 the effects and r the residual at the mean,
-- deviance = r'Vr + ln det(D + sd^2 ee'), V the inverse of D + sd^2 ee' (Woodbury), linear = r'Va, quadratic = a'Va.
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR
-- column visit VARCHAR: visit
-- column cause VARCHAR: cause on the corner
-- column size INTEGER: size class
-- column car_component VARCHAR: see car_components
-- column log_share DOUBLE: logarithm of the share of the component within the size class
-- column deviance DOUBLE: at z = 0
-- column linear DOUBLE: see above
-- column quadratic DOUBLE: see above
with
paired as (
    select
        corners.*,
        components.cause,
        components.size,
        components.mean_1,
        components.mean_2,
        components.sd,
        components.mean_1 * components.mean_1 + components.mean_2 * components.mean_2 + components.sd * components.sd as size_square,
        -- A bearing cannot slide past the ends of its scale; a millimetre for the plate's own play.
        components.share * effects.p_pattern * case
            when components.pattern = 'slip' and corners.freedom = 'slot' and low_mm is not null and high_mm is not null
            then greatest(
                normal_cdf((high_mm + 1 - components.mean_1) / components.sd) - normal_cdf((low_mm - 1 - components.mean_1) / components.sd),
                1e-6
            )
            else 1
        end as share,
        components.pattern in ('slip', 'move') as moves,
        effects.* exclude (vehicle, corner, visit, pattern, p_pattern)
    from session_corners as corners
    inner join drift_effects as effects using (vehicle, corner, visit)
    inner join drift_components as components
        on components.pattern = effects.pattern
        and (components.freedom is null or components.freedom = corners.freedom)
    where effects.p_pattern > 1e-6
),
car_effects as (
    select
        car.component,
        sd as car_sd,
        car.corner,
        sensitivities_of.chassis,
        car.camber_deg + out_mm * camber_out as car_camber_at_toe,
        car.caster_deg + out_mm * caster_out as car_caster,
        car.sai_deg + out_mm * sai_out as car_sai,
        car.toe_deg + car.toe_read_deg + out_mm * toe_out as car_toe,
        toe_read_deg as car_toe_read,
        sd * sd * out_mm * out_mm * camber_var as cradle_camber_var,
        sd * sd * out_mm * out_mm * caster_var as cradle_caster_var,
        sd * sd * out_mm * out_mm * sai_var as cradle_sai_var,
        sd * sd * out_mm * out_mm * toe_var as cradle_toe_var
    from car_components as car
    cross join (
        select
            chassis,
            max(slope_out) filter (where response = 'camber_deg') as camber_out,
            max(slope_out) filter (where response = 'caster_deg') as caster_out,
            max(slope_out) filter (where response = 'sai_deg') as sai_out,
            max(slope_out) filter (where response = 'toe_deg') as toe_out,
            max(var_out + spread_var) filter (where response = 'camber_deg') as camber_var,
            max(var_out + spread_var) filter (where response = 'caster_deg') as caster_var,
            max(var_out + spread_var) filter (where response = 'sai_deg') as sai_var,
            max(var_out + spread_var) filter (where response = 'toe_deg') as toe_var
        from sensitivities
        where chassis is not null
        group by chassis
    ) as sensitivities_of
    where car.corner in ('FL', 'FR')
),
-- *_w: one over the variance, 0 where the angle was not read.
weighed as (
    select
        paired.*,
        component,
        camber_deg - mean_1 * camber_1 - mean_2 * camber_2 as camber_r,
        caster_deg - mean_1 * caster_1 - mean_2 * caster_2 as caster_r,
        sai_deg - mean_1 * sai_1 - mean_2 * sai_2 as sai_r,
        toe_deg - mean_1 * toe_1 - mean_2 * toe_2 as toe_r,
        pointer_out_mm - mean_1 * pointer_1_out - mean_2 * pointer_2_out as pointer_out_r,
        pointer_aft_mm - mean_1 * pointer_1_aft - mean_2 * pointer_2_aft as pointer_aft_r,
        car_camber_at_toe
            + case when equal_toe then coalesce(tan_caster, 0) * car_toe_read else -coalesce(tan_caster, 0) * (car_toe - car_toe_read) end
            as car_camber,
        car_caster,
        car_sai,
        car_toe,
        camber_var_deg2 + size_square * camber_var + fixed_var + cradle_camber_var as camber_v,
        caster_var_deg2 + size_square * caster_var + 4 * fixed_var + cradle_caster_var as caster_v,
        sai_var_deg2 + size_square * sai_var + 4 * fixed_var + cradle_sai_var as sai_v,
        toe_var_deg2 + size_square * toe_var + fixed_var + cradle_toe_var as toe_v,
        pointer_var_mm2 + case when moves then 0 else 1 end as pointer_v
    from paired
    inner join car_effects using (chassis, corner)
    -- With a cause on the whole car, a front of its own may only have slipped: two rare things at once are left out.
    where component = 'none' or cause in ('held', 'plate_slipped')
),
inverted as (
    select
        *,
        case when camber_r is null then 0 else 1 / camber_v end as camber_w,
        case when caster_r is null then 0 else 1 / caster_v end as caster_w,
        case when sai_r is null then 0 else 1 / sai_v end as sai_w,
        case when toe_r is null then 0 else 1 / toe_v end as toe_w,
        case when pointer_out_r is null then 0 else 1 / pointer_v end as pointer_w,
        case when camber_r is null then 0 else ln(camber_v) end
            + case when caster_r is null then 0 else ln(caster_v) end
            + case when sai_r is null then 0 else ln(sai_v) end
            + case when toe_r is null then 0 else ln(toe_v) end
            + case when pointer_out_r is null then 0 else 2 * ln(pointer_v) end as log_det
    from weighed
),
-- Weighted products of effects (1, 2), residual (r) and car effect (a).
products as (
    select
        vehicle, corner, visit, cause, size, component, share, log_det, sd * sd as var_size,
        camber_w * camber_1 * camber_1 + caster_w * caster_1 * caster_1 + sai_w * sai_1 * sai_1 + toe_w * toe_1 * toe_1
            + pointer_w * (pointer_1_out * pointer_1_out + pointer_1_aft * pointer_1_aft) as s_11,
        camber_w * camber_1 * camber_2 + caster_w * caster_1 * caster_2 + sai_w * sai_1 * sai_2 + toe_w * toe_1 * toe_2
            + pointer_w * (pointer_1_out * pointer_2_out + pointer_1_aft * pointer_2_aft) as s_12,
        camber_w * camber_2 * camber_2 + caster_w * caster_2 * caster_2 + sai_w * sai_2 * sai_2 + toe_w * toe_2 * toe_2
            + pointer_w * (pointer_2_out * pointer_2_out + pointer_2_aft * pointer_2_aft) as s_22,
        camber_w * camber_1 * coalesce(camber_r, 0) + caster_w * caster_1 * coalesce(caster_r, 0) + sai_w * sai_1 * coalesce(sai_r, 0)
            + toe_w * toe_1 * coalesce(toe_r, 0)
            + pointer_w * (pointer_1_out * coalesce(pointer_out_r, 0) + pointer_1_aft * coalesce(pointer_aft_r, 0)) as r_1,
        camber_w * camber_2 * coalesce(camber_r, 0) + caster_w * caster_2 * coalesce(caster_r, 0) + sai_w * sai_2 * coalesce(sai_r, 0)
            + toe_w * toe_2 * coalesce(toe_r, 0)
            + pointer_w * (pointer_2_out * coalesce(pointer_out_r, 0) + pointer_2_aft * coalesce(pointer_aft_r, 0)) as r_2,
        camber_w * camber_1 * car_camber + caster_w * caster_1 * car_caster + sai_w * sai_1 * car_sai + toe_w * toe_1 * car_toe as a_1,
        camber_w * camber_2 * car_camber + caster_w * caster_2 * car_caster + sai_w * sai_2 * car_sai + toe_w * toe_2 * car_toe as a_2,
        camber_w * power(coalesce(camber_r, 0), 2) + caster_w * power(coalesce(caster_r, 0), 2) + sai_w * power(coalesce(sai_r, 0), 2)
            + toe_w * power(coalesce(toe_r, 0), 2)
            + pointer_w * (power(coalesce(pointer_out_r, 0), 2) + power(coalesce(pointer_aft_r, 0), 2)) as r_r,
        camber_w * coalesce(camber_r, 0) * car_camber + caster_w * coalesce(caster_r, 0) * car_caster + sai_w * coalesce(sai_r, 0) * car_sai
            + toe_w * coalesce(toe_r, 0) * car_toe as r_a,
        camber_w * car_camber * car_camber + caster_w * car_caster * car_caster + sai_w * car_sai * car_sai + toe_w * car_toe * car_toe as a_a
    from inverted
),
-- t = sd^2 (I + sd^2 s)^-1
gained as (
    select *, (1 + var_size * s_11) * (1 + var_size * s_22) - var_size * var_size * s_12 * s_12 as det_gain
    from products
),
weighted as (
    select
        *,
        var_size * (1 + var_size * s_22) / det_gain as t_11,
        -var_size * var_size * s_12 / det_gain as t_12,
        var_size * (1 + var_size * s_11) / det_gain as t_22
    from gained
)
select
    vehicle,
    corner,
    visit,
    cause,
    size,
    component as car_component,
    ln(share) as log_share,
    r_r - t_11 * r_1 * r_1 - 2 * t_12 * r_1 * r_2 - t_22 * r_2 * r_2 + log_det + ln(det_gain) as deviance,
    r_a - t_11 * r_1 * a_1 - t_12 * (r_1 * a_2 + r_2 * a_1) - t_22 * r_2 * a_2 as linear,
    a_a - t_11 * a_1 * a_1 - 2 * t_12 * a_1 * a_2 - t_22 * a_2 * a_2 as quadratic
from weighted
