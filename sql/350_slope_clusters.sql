-- title: What each vehicle says about the slopes
-- grain: one row per chassis, response and vehicle
-- source: moves, slope_fits
-- missing: none
-- column chassis VARCHAR: platform code
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column vehicle VARCHAR: one car; both fronts together
-- column xx_oo DOUBLE [mm2]: sum of w * move_out^2, w = weight * robust weight
-- column xx_oa DOUBLE [mm2]: sum of w * move_out * move_aft
-- column xx_aa DOUBLE [mm2]: sum of w * move_aft^2
-- column xy_o DOUBLE [mm.deg]: sum of w * move_out * change
-- column xy_a DOUBLE [mm.deg]: sum of w * move_aft * change
-- column error_oo DOUBLE [mm2]: sum of w * variance of the move from reading the pointers, outboard
-- column error_oa DOUBLE [mm2]: its covariance
-- column error_aa DOUBLE [mm2]: its variance rearward
-- column weight_sum DOUBLE: sum of w
-- column slope_sum DOUBLE: sum of weight * psi'
-- column prior_weight_sum DOUBLE: sum of the weights before down-weighting
-- column move_count BIGINT: moves
-- column move_out_count BIGINT: moves with a change outboard
-- column move_aft_count BIGINT: moves with a change rearward
-- column downweighted_count BIGINT: moves with a robust weight under 1/2
-- column unequal_toe_count BIGINT: moves whose camber could not be brought to equal toe
-- column mid_out_sum DOUBLE: sum of w * |move_out| * mid_out
-- column mid_aft_sum DOUBLE: sum of w * |move_aft| * mid_aft
-- column span_out_sum DOUBLE: sum of w * |move_out|
-- column span_aft_sum DOUBLE: sum of w * |move_aft|
with
weighted as (
    select
        moves.*,
        (change_deg - slope_out * move_out_mm - slope_aft * move_aft_mm) / end_deg as u,
        weight * u * u as q,
        bisquare_weight(q) as robust_weight,
        weight * robust_weight as w,
        weight * bisquare_slope(q) as psi_slope
    from moves
    inner join slope_fits using (chassis, response)
)
select
    chassis,
    response,
    vehicle,
    grid_sum(w * move_out_mm * move_out_mm) as xx_oo,
    grid_sum(w * move_out_mm * move_aft_mm) as xx_oa,
    grid_sum(w * move_aft_mm * move_aft_mm) as xx_aa,
    grid_sum(w * move_out_mm * change_deg) as xy_o,
    grid_sum(w * move_aft_mm * change_deg) as xy_a,
    fine_sum(w * read_error_oo_mm2) as error_oo,
    fine_sum(w * read_error_oa_mm2) as error_oa,
    fine_sum(w * read_error_aa_mm2) as error_aa,
    fine_sum(w) as weight_sum,
    fine_sum(psi_slope) as slope_sum,
    fine_sum(weight) as prior_weight_sum,
    count(*) as move_count,
    count(*) filter (where abs(move_out_mm) > 1e-6) as move_out_count,
    count(*) filter (where abs(move_aft_mm) > 1e-6) as move_aft_count,
    count(*) filter (where robust_weight < 0.5) as downweighted_count,
    count(*) filter (where response = 'camber_deg' and equal_toe = 'unknown') as unequal_toe_count,
    grid_sum(w * abs(move_out_mm) * mid_out_mm) as mid_out_sum,
    grid_sum(w * abs(move_aft_mm) * mid_aft_mm) as mid_aft_sum,
    grid_sum(w * abs(move_out_mm)) as span_out_sum,
    grid_sum(w * abs(move_aft_mm)) as span_aft_sum
from weighted
group by chassis, response, vehicle
