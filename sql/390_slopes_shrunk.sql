-- title: Shrunken slopes with their covariance
-- grain: one row per chassis of the readings and response
-- source: readings, slope_estimates, slope_populations, slope_priors
-- missing: none; a chassis without moves gets the population
-- Empirical Bayes for the pair (out, aft): with precision P of the chassis' own data (0 along what it never moved), between-
-- chassis variance T and population mean m, posterior mean (I + TP)^-1 (T P b + m), covariance (I + TP)^-1 T, and the
-- variance of m carried through. P comes from the CR2 variance averaged with the model variance as in slope_populations.
-- column chassis VARCHAR: platform code
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column slope_out DOUBLE [deg/mm]: outboard
-- column slope_aft DOUBLE [deg/mm]: rearward
-- column var_out DOUBLE [deg2/mm2]: variance, outboard
-- column var_aft DOUBLE [deg2/mm2]: variance, rearward
-- column cov_out_aft DOUBLE [deg2/mm2]: covariance
-- column move_count BIGINT: moves of the chassis behind it, 0 = population only
with
every_chassis as (
    select chassis, response
    from (select distinct chassis from readings)
    cross join (select distinct response from slope_priors)
),
populations as (
    select
        response,
        max(mean_deg_per_mm) filter (where axis = 'out') as mean_out,
        max(mean_deg_per_mm) filter (where axis = 'aft') as mean_aft,
        max(mean_var) filter (where axis = 'out') as mean_var_out,
        max(mean_var) filter (where axis = 'aft') as mean_var_aft,
        max(between_var) filter (where axis = 'out') as t_out,
        max(between_var) filter (where axis = 'aft') as t_aft,
        max(dispersion) filter (where axis = 'out') as dispersion_out,
        max(dispersion) filter (where axis = 'aft') as dispersion_aft
    from slope_populations
    group by response
),
joined as (
    select
        every_chassis.chassis,
        every_chassis.response,
        populations.* exclude (response),
        estimates.* exclude (chassis, response, move_count),
        coalesce(estimates.move_count, 0) as move_count,
        coalesce(rank, 'none') as known_rank,
        case known_rank when 'full' then xx_oo * xx_aa - xx_oa * xx_oa end as det_xx
    from every_chassis
    inner join populations using (response)
    left join slope_estimates as estimates using (chassis, response)
),
-- Sampling covariance of a chassis with both slopes; model variance where the CR2 one is missing.
sampled as (
    select
        *,
        noise_var_deg2 * dispersion_out * xx_aa / det_xx as model_oo,
        -noise_var_deg2 * sqrt(dispersion_out * dispersion_aft) * xx_oa / det_xx as model_oa,
        noise_var_deg2 * dispersion_aft * xx_oo / det_xx as model_aa,
        case when cov_out_aft is null then 0 else least(df_out, df_aft) / (least(df_out, df_aft) + 4) end as cluster_share,
        -- A variance known with few degrees of freedom counts as wider, so that normal limits with the result hold 95 %.
        power(t_quantile(0.975, coalesce(least(coalesce(df_out, df_aft), coalesce(df_aft, df_out)), 0) + 4) / normal_quantile(0.975), 2)
            as widening
    from joined
),
mixed as (
    select
        *,
        widening * (cluster_share * coalesce(var_out, 0) + (1 - cluster_share) * model_oo) as v_oo,
        widening * (cluster_share * coalesce(cov_out_aft, 0) + (1 - cluster_share) * model_oa) as v_oa,
        widening * (cluster_share * coalesce(var_aft, 0) + (1 - cluster_share) * model_aa) as v_aa
    from sampled
),
precise as (
    select
        *,
        case known_rank
            when 'full' then v_aa / (v_oo * v_aa - v_oa * v_oa)
            when 'aft' then 0
            when 'none' then 0
            when 'out' then (coalesce(df_out, 0) + 4)
                / (coalesce(var_out * df_out, 0) + 4 * noise_var_deg2 * dispersion_out / xx_oo) / widening
            else xx_oo / noise_var_deg2 / dispersion_out / widening
        end as p_oo,
        case known_rank
            when 'full' then -v_oa / (v_oo * v_aa - v_oa * v_oa)
            when 'line' then xx_oa / noise_var_deg2 / sqrt(dispersion_out * dispersion_aft) / widening
            else 0
        end as p_oa,
        case known_rank
            when 'full' then v_oo / (v_oo * v_aa - v_oa * v_oa)
            when 'out' then 0
            when 'none' then 0
            when 'aft' then (coalesce(df_aft, 0) + 4)
                / (coalesce(var_aft * df_aft, 0) + 4 * noise_var_deg2 * dispersion_aft / xx_aa) / widening
            else xx_aa / noise_var_deg2 / dispersion_aft / widening
        end as p_aa
    from mixed
),
informed as (
    select
        *,
        case
            when known_rank = 'line' then xy_o / noise_var_deg2 / dispersion_out / widening
            else p_oo * coalesce(slope_out, 0) + p_oa * coalesce(slope_aft, 0)
        end as h_o,
        case
            when known_rank = 'line' then xy_a / noise_var_deg2 / dispersion_aft / widening
            else p_oa * coalesce(slope_out, 0) + p_aa * coalesce(slope_aft, 0)
        end as h_a
    from precise
),
-- g = (I + TP)^-1
gained as (
    select
        *,
        (1 + t_out * p_oo) * (1 + t_aft * p_aa) - t_out * t_aft * p_oa * p_oa as det_g
    from informed
),
weighted as (
    select
        *,
        (1 + t_aft * p_aa) / det_g as g_oo,
        -t_out * p_oa / det_g as g_oa,
        -t_aft * p_oa / det_g as g_ao,
        (1 + t_out * p_oo) / det_g as g_aa
    from gained
)
select
    chassis,
    response,
    g_oo * (t_out * h_o + mean_out) + g_oa * (t_aft * h_a + mean_aft) as slope_out,
    g_ao * (t_out * h_o + mean_out) + g_aa * (t_aft * h_a + mean_aft) as slope_aft,
    g_oo * t_out + g_oo * g_oo * mean_var_out + g_oa * g_oa * mean_var_aft as var_out,
    g_aa * t_aft + g_ao * g_ao * mean_var_out + g_aa * g_aa * mean_var_aft as var_aft,
    g_oa * t_aft + g_oo * g_ao * mean_var_out + g_oa * g_aa * mean_var_aft as cov_out_aft,
    move_count
from weighted
