-- title: How slopes differ between chassis
-- grain: one row per response and axis
-- source: slope_estimates, slope_flags, slope_priors
-- missing: paule_mandel_* are NULL with no chassis
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
with recursive
-- Model variance of the estimates, inverse matrix times noise.
modelled as (
    select
        estimates.*,
        noise_var_deg2 * case when rank = 'full' then xx_aa / (xx_oo * xx_aa - xx_oa * xx_oa) when rank = 'out' then 1 / xx_oo end as model_out,
        noise_var_deg2 * case when rank = 'full' then xx_oo / (xx_oo * xx_aa - xx_oa * xx_oa) when rank = 'aft' then 1 / xx_aa end as model_aft
    from slope_estimates as estimates
    -- A chassis with a unit or sign mistake says nothing about the others.
    where chassis not in (select chassis from slope_flags where flag is not null)
),
by_axis as (
    select chassis, response, 'out' as axis, slope_out as estimate, var_out as cluster_var, model_out as model_var, df_out as df
    from modelled
    where slope_out is not null
    union all
    select chassis, response, 'aft' as axis, slope_aft as estimate, var_aft as cluster_var, model_aft as model_var, df_aft as df
    from modelled
    where slope_aft is not null
),
dispersions as (
    select
        response,
        axis,
        -- Ratios over 4 count as 4: one odd chassis must not widen all.
        greatest(
            coalesce(sum(df * least(cluster_var / model_var, 4) order by chassis) / sum(df order by chassis), 1),
            1
        ) as dispersion
    from by_axis
    group by response, axis
),
-- The CR2 variance with df degrees of freedom and the model variance with four.
sampled as (
    select
        by_axis.*,
        dispersion,
        greatest(
            (coalesce(cluster_var * df, 0) + 4 * dispersion * model_var) / (case when cluster_var is null then 0 else df end + 4),
            1e-14
        ) as var_estimate
    from by_axis
    inner join dispersions using (response, axis)
),
steps as (
    select 0 as step, response, axis, cast(0 as double) as between_var, cast(null as double) as mean, false as settled
    from dispersions
    union all
    (
        with
        weighted as (
            select
                steps.step,
                sampled.*,
                steps.between_var,
                1 / (var_estimate + steps.between_var) as w
            from steps
            inner join sampled using (response, axis)
            where steps.step < 100 and not steps.settled
        ),
        means as (
            select
                step,
                response,
                axis,
                between_var,
                sum(w * estimate order by chassis) / sum(w order by chassis) as mean,
                count(*) as chassis_count
            from weighted
            group by step, response, axis, between_var
        ),
        newton as (
            select
                means.step,
                means.response,
                means.axis,
                means.between_var,
                means.mean,
                chassis_count,
                sum(w * power(estimate - mean, 2) order by chassis) - (chassis_count - 1) as excess,
                sum(w * w * power(estimate - mean, 2) order by chassis) as steepness
            from weighted
            inner join means using (response, axis)
            group by means.step, means.response, means.axis, means.between_var, means.mean, chassis_count
        )
        select
            step + 1 as step,
            response,
            axis,
            case when steepness > 0 then greatest(between_var + excess / steepness, 0) else 0 end as between_var,
            mean,
            -- One chassis lies about its own mean by rounding only, which no step would settle.
            chassis_count < 2 or steepness <= 0 or excess <= 0 or excess / steepness <= 1e-12 * between_var as settled
        from newton
    )
),
solved as (
    select response, axis, between_var, mean
    from steps
    qualify row_number() over (partition by response, axis order by step desc) = 1
),
counted as (
    select
        priors.response,
        priors.axis,
        priors.mean_deg_per_mm as prior_mean,
        power(priors.sd_deg_per_mm, 2) / 2 as half_prior_var,
        count(sampled.chassis) as chassis_count,
        coalesce(any_value(sampled.dispersion), 1) as dispersion
    from slope_priors as priors
    left join sampled using (response, axis)
    group by priors.response, priors.axis, priors.mean_deg_per_mm, priors.sd_deg_per_mm
),
compromised as (
    select
        counted.*,
        case when chassis_count > 0 then solved.mean end as paule_mandel_mean,
        case when chassis_count > 1 then solved.between_var end as paule_mandel_var,
        (2 * half_prior_var + greatest(chassis_count - 1, 0) * coalesce(solved.between_var, 0))
            / (2 + greatest(chassis_count - 1, 0)) as between_var
    from counted
    left join solved using (response, axis)
),
pooled as (
    select
        compromised.response,
        compromised.axis,
        coalesce(sum(1 / (var_estimate + between_var) order by chassis), 0) as precision_sum,
        coalesce(sum(estimate / (var_estimate + between_var) order by chassis), 0) as precision_mean
    from compromised
    left join sampled using (response, axis)
    group by compromised.response, compromised.axis
)
select
    response,
    axis,
    chassis_count,
    compromised.dispersion,
    paule_mandel_mean,
    paule_mandel_var,
    (precision_mean + prior_mean / half_prior_var) / (precision_sum + 1 / half_prior_var) as mean_deg_per_mm,
    1 / (precision_sum + 1 / half_prior_var) as mean_var,
    between_var
from compromised
inner join pooled using (response, axis)
