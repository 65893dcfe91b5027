-- The slopes of one angle as one value, see slope_change; all but downweighted_moves take them from columns of check_slopes.
create or replace temp macro slope_of(slope_out, slope_aft, var_out, var_aft, cov_out_aft) as {
    'slope_out': slope_out, 'slope_aft': slope_aft, 'var_out': var_out, 'var_aft': var_aft, 'cov_out_aft': cov_out_aft
};
-- A move (mm) with the covariance of what is read of it (mm2).
create or replace temp macro move_of(out_mm, aft_mm, oo, oa, aa) as
    {'out_mm': out_mm, 'aft_mm': aft_mm, 'oo': oo, 'oa': oa, 'aa': aa};
-- The variance of what the move explains of an angle (deg2).
create or replace temp macro move_var(slope, move) as
    slope_change_var(slope, move.out_mm, move.aft_mm) + place_error_cov(slope, slope, move);
