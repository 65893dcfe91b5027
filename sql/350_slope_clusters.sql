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
-- column move_count BIGINT: moves
-- column move_out_count BIGINT: moves with a change outboard
-- column move_aft_count BIGINT: moves with a change rearward
with
weighted as (
    select
        moves.*,
        (change_deg - slope_out * move_out_mm - slope_aft * move_aft_mm) / end_deg as u,
        weight * u * u as q,
        weight * bisquare_weight(q) as w
    from moves
    inner join slope_fits using (chassis, response)
    -- A step between two gauges is no part of a slope.
    where from_reader is null
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
    count(*) as move_count,
    count(*) filter (where abs(move_out_mm) > 1e-6) as move_out_count,
    count(*) filter (where abs(move_aft_mm) > 1e-6) as move_aft_count
from weighted
group by chassis, response, vehicle
