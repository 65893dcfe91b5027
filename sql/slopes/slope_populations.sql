-- title: How slopes differ between chassis
-- grain: one row per response and axis
-- source: slope_estimates, slope_flags, angle_priors
-- missing: paule_mandel_* are NULL with no chassis
-- computed by: src/stats/tables
-- Over the chassis without a flag. The sampling variance of a slope is its CR2 variance (df degrees of freedom) averaged with the
-- model variance, whose worth in degrees of freedom is estimated from the ratios of the two, at most 4 (Smyth 2004). Posterior of mean
-- and between-chassis variance on a grid, sampling variances averaged over as scaled inverse chi-squares: half-t prior with 4 degrees
-- of freedom for the standard deviation between chassis (Gelman 2006), normal prior for the mean; half the squared prior spread is
-- the variance of the second and the squared scale of the first. Beside it, without a prior: Paule and Mandel (1982; Newton steps of
-- DerSimonian and Kacker 2007).
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column axis VARCHAR: out aft
-- column chassis_count BIGINT: chassis that take part
-- column dispersion DOUBLE: mean ratio of CR2 variance to model variance, weighted by df, at least 1
-- column model_df DOUBLE: degrees of freedom that a model variance is worth beside a CR2 variance
-- column paule_mandel_mean DOUBLE [deg/mm]: weighted mean at the Paule-Mandel variance
-- column paule_mandel_var DOUBLE [deg2/mm2]: between-chassis variance
-- column mean_deg_per_mm DOUBLE [deg/mm]: posterior mean of the chassis' mean
-- column mean_var DOUBLE [deg2/mm2]: its variance
-- column between_var DOUBLE [deg2/mm2]: posterior mean of the between-chassis variance
-- column between_df DOUBLE: its degrees of freedom, for a multiple of chi-square: twice the squared mean over the variance, at least 1
with
-- Model variance of the estimates, inverse matrix times noise.
modelled as (
    select
        *,
        noise_var_deg2 * slope_model_var(rank, 'out', xx_oo, xx_aa, xx_oa) as model_out,
        noise_var_deg2 * slope_model_var(rank, 'aft', xx_aa, xx_oo, xx_oa) as model_aft
    from slope_estimates
    -- A chassis with a unit or sign mistake says nothing about the others.
    where chassis not in (select chassis from slope_flags where flag is not null)
),
by_axis as (
    select response, 'out' as axis, slope_out as estimate, var_out as cluster_var, df_out as df, model_out as model_var
    from modelled
    where slope_out is not null
    union all
    select response, 'aft' as axis, slope_aft as estimate, var_aft as cluster_var, df_aft as df, model_aft as model_var
    from modelled
    where slope_aft is not null
),
priors as (
    select response, unnest([
        {'axis': 'out', 'prior_mean': mean_out, 'prior_sd': sd_out},
        {'axis': 'aft', 'prior_mean': mean_aft, 'prior_sd': sd_aft}
    ], recursive := true)
    from angle_priors
)
select response, axis, prior_mean, prior_sd, estimate, cluster_var, df, model_var
from priors
left join by_axis using (response, axis)
order by response, axis, estimate, cluster_var, df, model_var
