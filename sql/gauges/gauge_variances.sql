-- title: Variance between gauges and between people
-- grain: one row per row of gauge_moments
-- source: gauge_moments, gauge_priors
-- missing: a variance is NULL where fewer than two levels of its factor were compared
-- Restricted maximum likelihood (REML, src/stats/reml.ts) of the mixed model reading = part (free) + gauge (random) + person (random)
-- + error, error variance proportional to 1 / weight (Searle, Casella and McCulloch, Variance Components, 1992, chapter 6; from
-- memory). Few levels tell little of a variance, so the effects use its mean with gauge_priors at the weight of four levels.
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column gauge_var DOUBLE [deg2]: between gauges, or pairs; REML
-- column technician_var DOUBLE [deg2]: between people; REML
-- column error_var DOUBLE [deg2]: of a reading with weight 1; REML
-- column df BIGINT: readings less parts
-- column gauge_count BIGINT: gauges, or pairs, compared
-- column technician_count BIGINT: people compared
-- column used_gauge_var DOUBLE [deg2]: the one that the effects use
-- column used_technician_var DOUBLE [deg2]: the one that the effects use
with
fitted as (
    select response, df, reml(factors, first_levels, second_levels, xx, xy, yy, df) as fit
    from gauge_moments
),
estimated as (
    select
        response,
        fit.ratio_1 * fit.error_var as gauge_var,
        fit.ratio_2 * fit.error_var as technician_var,
        fit.error_var as error_var,
        df,
        cast(fit.count_1 as bigint) as gauge_count,
        cast(fit.count_2 as bigint) as technician_count
    from fitted
)
select
    response,
    gauge_var,
    technician_var,
    error_var,
    df,
    gauge_count,
    technician_count,
    (greatest(gauge_count - 1, 0) * coalesce(gauge_var, 0) + 4 * bias_sd_deg * bias_sd_deg)
        / (greatest(gauge_count - 1, 0) + 4) as used_gauge_var,
    (greatest(technician_count - 1, 0) * coalesce(technician_var, 0) + bias_sd_deg * bias_sd_deg)
        / (greatest(technician_count - 1, 0) + 4) as used_technician_var
from estimated
inner join gauge_priors using (response)
