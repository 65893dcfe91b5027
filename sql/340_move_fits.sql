-- title: Moves against the fitted slopes
-- grain: one row per move and response
-- source: moves, slope_fits
-- missing: none
-- column chassis VARCHAR: platform code
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR
-- column visit VARCHAR: visit
-- column from_phase VARCHAR: before moved
-- column to_phase VARCHAR: moved after
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column fitted_deg DOUBLE [deg]: change that the slopes expect
-- column residual_deg DOUBLE [deg]: change minus fitted
-- column robust_weight DOUBLE: bisquare weight of the residual, 0..1; under 1/2 counts as down-weighted
-- column robust_slope DOUBLE: derivative of the bisquare's psi at the residual
with
residuals as (
    select
        moves.*,
        slope_out * move_out_mm + slope_aft * move_aft_mm as fitted_deg,
        change_deg - slope_out * move_out_mm - slope_aft * move_aft_mm as residual_deg,
        sqrt(weight) * (change_deg - slope_out * move_out_mm - slope_aft * move_aft_mm) / scale_deg as u
    from moves
    inner join slope_fits using (chassis, response)
)
select
    chassis,
    vehicle,
    corner,
    visit,
    from_phase,
    to_phase,
    response,
    fitted_deg,
    residual_deg,
    bisquare_weight(u, efficiency_tuning()) as robust_weight,
    bisquare_slope(u, efficiency_tuning()) as robust_slope
from residuals
