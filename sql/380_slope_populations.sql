-- title: How slopes differ between chassis
-- grain: one row per response and axis
-- source: slope_estimates, slope_flags, slope_priors
-- missing: paule_mandel_* are NULL with no chassis
-- computed by: src/stats/tables
-- Paule-Mandel between-chassis variance (Paule and Mandel 1982; Newton steps of DerSimonian and Kacker 2007) over the
-- chassis without a flag. With few chassis it says little, so it is averaged with half the squared prior spread at the
-- weight of two chassis; the mean likewise takes the geometric prior as one more chassis, with the other half as variance.
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column axis VARCHAR: out aft
-- column chassis_count BIGINT: chassis that take part
-- column dispersion DOUBLE: mean ratio of CR2 variance to model variance, weighted by df, at least 1
-- column paule_mandel_mean DOUBLE [deg/mm]: weighted mean at the Paule-Mandel variance
-- column paule_mandel_var DOUBLE [deg2/mm2]: between-chassis variance
-- column mean_deg_per_mm DOUBLE [deg/mm]: mean that the shrinkage uses
-- column mean_var DOUBLE [deg2/mm2]: its variance
-- column between_var DOUBLE [deg2/mm2]: between-chassis variance that the shrinkage uses
with
-- Model variance of the estimates, inverse matrix times noise.
modelled as (
    select
        *,
        noise_var_deg2
            * case rank when 'full' then xx_aa / (xx_oo * xx_aa - xx_oa * xx_oa)
            when 'out' then 1 / xx_oo end as model_out,
        noise_var_deg2
            * case rank when 'full' then xx_oo / (xx_oo * xx_aa - xx_oa * xx_oa)
            when 'aft' then 1 / xx_aa end as model_aft
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
)
select
    response,
    axis,
    mean_deg_per_mm as prior_mean,
    sd_deg_per_mm as prior_sd,
    estimate,
    cluster_var,
    df,
    model_var
from slope_priors
left join by_axis using (response, axis)
order by response, axis, estimate, cluster_var, df, model_var
