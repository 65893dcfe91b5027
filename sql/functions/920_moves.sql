-- The slopes of one angle as one value, see slope_change; all but downweighted_moves take them from columns of check_slopes.
create or replace temp macro slope_of(slope_out, slope_aft, var_out, var_aft, cov_out_aft) as {
    'slope_out': slope_out, 'slope_aft': slope_aft, 'var_out': var_out, 'var_aft': var_aft, 'cov_out_aft': cov_out_aft
};
-- A move (mm) with the covariance of what is read of it (mm2), and the move from one place to another that are read apart.
create or replace temp macro move_of(out_mm, aft_mm, oo, oa, aa) as
    {'out_mm': out_mm, 'aft_mm': aft_mm, 'oo': oo, 'oa': oa, 'aa': aa};
create or replace temp macro move_between(out_1, aft_1, oo_1, oa_1, aa_1, out_2, aft_2, oo_2, oa_2, aa_2) as
    move_of(out_2 - out_1, aft_2 - aft_1, oo_1 + oo_2, oa_1 + oa_2, aa_1 + aa_2);
-- What a change of an angle leaves over that the move does not explain (deg), and the variance of what it explains (deg2).
create or replace temp macro residual(change_deg, slope, move) as
    change_deg - slope.slope_out * move.out_mm - slope.slope_aft * move.aft_mm;
create or replace temp macro move_var(slope, move) as
    slope_change_var(slope, move.out_mm, move.aft_mm) + place_error_cov(slope, slope, move);
