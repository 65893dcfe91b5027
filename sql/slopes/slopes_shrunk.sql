-- title: Shrunken slopes with their covariance
-- grain: one row per chassis of the readings and response
-- source: readings, slope_estimates, slope_populations
-- missing: none; a chassis without moves gets the population
-- computed by: src/stats/tables
-- Empirical Bayes for the pair (out, aft): with precision P of the chassis' own data (0 along what it never moved), between-
-- chassis variance T and population mean m, posterior mean (I + TP)^-1 (T P b + m), covariance (I + TP)^-1 T, and the
-- variance of m carried through; averaged over 7 x 7 equally likely values of T, the spread of the means added. P comes from the CR2
-- variance averaged with the model variance at the weight of their degrees of freedom, widened by the t quantile.
-- column chassis VARCHAR: platform code
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column slope_out DOUBLE [deg/mm]: outboard
-- column slope_aft DOUBLE [deg/mm]: rearward
-- column var_out DOUBLE [deg2/mm2]: variance, outboard
-- column var_aft DOUBLE [deg2/mm2]: variance, rearward
-- column cov_out_aft DOUBLE [deg2/mm2]: covariance
-- column move_count BIGINT: moves of the chassis behind it, 0 = population only
with
populations as (
    select
        response,
        max(columns('^(mean_.*|between_.*|dispersion|model_df)$')) filter (where axis = 'out') as "\1_out",
        max(columns('^(mean_.*|between_.*|dispersion|model_df)$')) filter (where axis = 'aft') as "\1_aft"
    from slope_populations
    group by response
)
select
    chassis,
    populations.*,
    rank,
    slope_out,
    slope_aft,
    var_out,
    var_aft,
    cov_out_aft,
    df_out,
    df_aft,
    xx_oo,
    xx_oa,
    xx_aa,
    xy_o,
    xy_a,
    noise_var_deg2,
    coalesce(move_count, 0) as move_count
from (select distinct chassis from readings) as every_chassis
cross join populations
left join slope_estimates using (chassis, response)
