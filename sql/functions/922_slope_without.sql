-- What the other vehicles of a chassis say about the slopes of one angle: normal posterior of the pair (out, aft) from the prior of
-- `frame` and the moves of all vehicles, as normal equations, less those of the vehicle itself. frame: struct with mean_out, mean_aft
-- (deg/mm), precision_out, precision_aft (mm2/deg2), scale_var (deg2), spread_var (deg2/mm2) and the sums xx_oo, xx_oa, xx_aa, xy_o,
-- xy_a; the others are sums of the vehicle, NULL = no moves. Struct with slope_out, slope_aft, var_out, var_aft, cov_out_aft; the
-- variances are those of a corner's slope.
create or replace temp macro others_sum(total, own, scale_var) as coalesce((total - coalesce(own, 0)) / scale_var, 0);
create or replace temp macro slope_of_pair(p_oo, p_oa, p_aa, h_o, h_a, spread_var) as {
    'slope_out': (p_aa * h_o - p_oa * h_a) / (p_oo * p_aa - p_oa * p_oa),
    'slope_aft': (p_oo * h_a - p_oa * h_o) / (p_oo * p_aa - p_oa * p_oa),
    'var_out': p_aa / (p_oo * p_aa - p_oa * p_oa) + spread_var,
    'var_aft': p_oo / (p_oo * p_aa - p_oa * p_oa) + spread_var,
    'cov_out_aft': -p_oa / (p_oo * p_aa - p_oa * p_oa)
};
create or replace temp macro slope_without(frame, xx_oo, xx_oa, xx_aa, xy_o, xy_a) as slope_of_pair(
    frame.precision_out + greatest(others_sum(frame.xx_oo, xx_oo, frame.scale_var), 0),
    others_sum(frame.xx_oa, xx_oa, frame.scale_var),
    frame.precision_aft + greatest(others_sum(frame.xx_aa, xx_aa, frame.scale_var), 0),
    frame.precision_out * frame.mean_out + others_sum(frame.xy_o, xy_o, frame.scale_var),
    frame.precision_aft * frame.mean_aft + others_sum(frame.xy_a, xy_a, frame.scale_var),
    frame.spread_var
);
