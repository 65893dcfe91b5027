-- Variance (deg2) of slope_out * x + slope_aft * y from the uncertainty of the slopes of `slopes` (struct or row with var_out,
-- var_aft, cov_out_aft and spread_var) and from a place known with covariance error_oo, error_oa, error_aa (mm2).
create or replace temp macro predicted_var(slopes, x_mm, y_mm, error_oo, error_oa, error_aa) as
    (slopes.var_out + slopes.spread_var) * x_mm * x_mm
        + 2 * slopes.cov_out_aft * x_mm * y_mm
        + (slopes.var_aft + slopes.spread_var) * y_mm * y_mm
        + slopes.slope_out * slopes.slope_out * error_oo
        + 2 * slopes.slope_out * slopes.slope_aft * error_oa
        + slopes.slope_aft * slopes.slope_aft * error_aa;
