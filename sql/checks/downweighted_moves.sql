-- title: A change of angle far from what the chassis' other moves say
-- likely: the plate had slipped unseen, or an offset, sign or angle was written down wrong
-- mend: compare the row with the sheet and the pointer; correct it and load it with --replace
-- Prior odds 1 : 200 that a change is grossly wrong, by 1 deg sd (from memory), judged by what the other vehicles say.
with
judged as (
    select
        moves.*,
        fitted_deg,
        change_deg - slope_out * move_out_mm - slope_aft * move_aft_mm as residual_deg,
        2 * sd_deg * sd_deg / weight
            + predicted_var(
                check_slopes, move_out_mm, move_aft_mm, moves.read_error_oo_mm2, moves.read_error_oa_mm2, moves.read_error_aa_mm2
            ) as residual_var
    from moves
    inner join move_fits using (chassis, vehicle, corner, visit, from_phase, to_phase, response)
    inner join check_slopes using (chassis, vehicle, response)
    inner join states
        on states.vehicle = moves.vehicle
        and states.corner = moves.corner
        and states.visit = moves.visit
        and states.phase = moves.to_phase
    inner join check_noise
        on check_noise.chassis = moves.chassis
        and check_noise.gauge is not distinct from states.gauge
        and check_noise.response = moves.response
    where robust_weight < 0.5
)
select
    chassis,
    vehicle,
    corner,
    visit,
    format(
        '{} changed by {:.2f} deg from {} to {}; {:.2f} is expected of a move of {:.1f} mm out, {:.1f} mm aft',
        replace(response, '_deg', ''), round(change_deg, 2) + 0, from_phase, to_phase, round(fitted_deg, 2) + 0, round(move_out_mm, 1) + 0, round(move_aft_mm, 1) + 0
    ) as finding,
    posterior(1 / 200.0, log_normal(residual_deg, residual_var + 1) - log_normal(residual_deg, residual_var)) as p_mistake,
    source_file,
    source_line
from judged
