-- Variance (deg2) of slope_out * x + slope_aft * y from the uncertainty of the slopes (var_out, var_aft, cov_out_aft) and from a
-- place known with covariance error_oo, error_oa, error_aa (mm2).
create or replace temp macro move_var(slope_out, slope_aft, var_out, var_aft, cov_out_aft, x_mm, y_mm, error_oo, error_oa, error_aa) as
    var_out * x_mm * x_mm
        + 2 * cov_out_aft * x_mm * y_mm
        + var_aft * y_mm * y_mm
        + slope_out * slope_out * error_oo
        + 2 * slope_out * slope_aft * error_oa
        + slope_aft * slope_aft * error_aa;
