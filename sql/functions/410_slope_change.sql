-- Change of an angle (deg) for a move of the bearing (mm) by a pair of slopes. `slope` is a struct of slope_out, slope_aft
-- (deg/mm), var_out, var_aft and cov_out_aft (deg2/mm2).
create or replace temp macro slope_change(slope, move_out_mm, move_aft_mm) as
    slope.slope_out * move_out_mm + slope.slope_aft * move_aft_mm;
-- Variance (deg2) of that change from the chassis' slopes.
create or replace temp macro slope_change_var(slope, move_out_mm, move_aft_mm) as
    slope.var_out * move_out_mm * move_out_mm
        + 2 * slope.cov_out_aft * move_out_mm * move_aft_mm
        + slope.var_aft * move_aft_mm * move_aft_mm;
-- Covariance (deg2) of two angles from an error of the bearing's place with covariance error (struct of oo, oa, aa, mm2).
create or replace temp macro place_error_cov(slope_1, slope_2, error) as
    slope_1.slope_out * slope_2.slope_out * error.oo
        + (slope_1.slope_out * slope_2.slope_aft + slope_1.slope_aft * slope_2.slope_out) * error.oa
        + slope_1.slope_aft * slope_2.slope_aft * error.aa;
-- Model variance of a slope for a noise variance of 1: its element of the inverse of (own, cross; cross, other), the sums of squares and
-- products of slope_estimates. NULL where `axis` is not told.
create or replace temp macro slope_model_var(rank, axis, own, other, cross_products) as
    case rank when 'full' then other / (own * other - cross_products * cross_products) when axis then 1 / own end;
