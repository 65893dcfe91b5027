-- title: A change of angle far from what the chassis' other moves say
-- likely: the plate had slipped unseen, or an offset, sign or angle was written down wrong
-- mend: compare the row with the sheet and the pointer; correct it and load it with --replace
-- Prior odds 1 : 200 that a change is grossly wrong, by 1 deg sd (from memory), judged by what the other vehicles say. Where two
-- gauges read, the step between them is taken off; its variance and those of two set-ups are added.
with
fitted as (
    select
        moves.*,
        fit_out * move_out_mm + fit_aft * move_aft_mm as fitted_deg
    from moves
    inner join slope_estimates using (chassis, response)
    where bisquare_weight(
        weight * power(change_deg - fit_out * move_out_mm - fit_aft * move_aft_mm, 2) / (end_deg * end_deg)
    ) < 0.5
),
judged as (
    select
        fitted.*,
        slope_of(
            of_response(fitted.response, camber_slope_out, caster_slope_out, toe_slope_out, sai_slope_out),
            of_response(fitted.response, camber_slope_aft, caster_slope_aft, toe_slope_aft, sai_slope_aft),
            of_response(fitted.response, camber_var_out, caster_var_out, toe_var_out, sai_var_out),
            of_response(fitted.response, camber_var_aft, caster_var_aft, toe_var_aft, sai_var_aft),
            of_response(fitted.response, camber_cov_out_aft, caster_cov_out_aft, toe_cov_out_aft, sai_cov_out_aft)
        ) as slope,
        move_of(
            move_out_mm,
            move_aft_mm,
            fitted.read_error_oo_mm2 * coalesce(variance_ratio, 1),
            fitted.read_error_oa_mm2 * coalesce(variance_ratio, 1),
            fitted.read_error_aa_mm2 * coalesce(variance_ratio, 1)
        ) as move,
        of_response(fitted.response, camber_sd_deg, caster_sd_deg, toe_sd_deg, sai_sd_deg) as sd_deg,
        coalesce(step_deg, 0) as step_deg,
        coalesce(earlier.set_up_var_deg2, 0) as set_up_var_1,
        coalesce(later.set_up_var_deg2, 0) as set_up_var_2,
        coalesce(step_var_deg2, 0) as step_var
    from fitted
    inner join states
        on states.vehicle = fitted.vehicle
        and states.corner = fitted.corner
        and states.visit = fitted.visit
        and states.phase = fitted.to_phase
    left join pointer_errors using (kit)
    inner join check_slopes on check_slopes.chassis = fitted.chassis and check_slopes.vehicle = fitted.vehicle
    inner join check_noise on check_noise.chassis = fitted.chassis
        and check_noise.gauge is not distinct from states.gauge
    left join reader_biases as steps on steps.response = fitted.response and reader_1 = from_reader
        and reader_2 = to_reader
    left join reader_noise as earlier on earlier.response = fitted.response and earlier.reader = from_reader
    left join reader_noise as later on later.response = fitted.response and later.reader = to_reader
),
residuals as (
    select
        *,
        change_deg - slope.slope_out * move_out_mm - slope.slope_aft * move_aft_mm - step_deg as residual_deg,
        across_visits_var(sd_deg * sd_deg / weight, sd_deg * sd_deg / weight, set_up_var_1, set_up_var_2, step_var)
            + move_var(slope, move) as residual_var
    from judged
)
select
    chassis,
    vehicle,
    corner,
    visit,
    format(
        '{} changed by {:.2f} deg from {} to {}; {:.2f} is expected of a move of {:.1f} mm out, {:.1f} mm aft',
        angle_name(response), round(change_deg, 2) + 0, from_phase, to_phase, round(fitted_deg, 2) + 0,
        round(move_out_mm, 1) + 0, round(move_aft_mm, 1) + 0
    ) as finding,
    posterior(
        1 / 200.0, log_normal(residual_deg, residual_var + 1) - log_normal(residual_deg, residual_var)
    ) as p_mistake,
    source_file,
    source_line,
    'change of ' || angle_name(response) as angle,
    change_deg as read_deg,
    change_deg - residual_deg as expected_deg,
    1.96 * sqrt(residual_var) as limit_deg,
    'the move' as expected_of
from residuals
