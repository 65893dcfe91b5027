-- title: Variance between gauges and between people, with the normal equations of their comparison
-- grain: one row per angle with at least one part read twice
-- source: gauge_comparisons, gauge_factors, gauge_priors
-- missing: a variance is NULL where fewer than two levels of its factor were compared
-- Weighted normal equations with a free constant per part, taken out: with Z the columns of the levels, W the weights and M the
-- weighted centring within parts, xx = Z'WMZ, xy = Z'WMy, yy = y'WMy. Every two readings of gauge_comparisons add to them by the
-- levels in which they differ.
-- Restricted maximum likelihood (REML, src/stats/reml.ts) of the mixed model reading = part (free) + gauge (random) + person (random)
-- + error, error variance proportional to 1 / weight (Searle, Casella and McCulloch, Variance Components, 1992, chapter 6; from
-- memory). Few levels tell little of a variance, so the effects use its mean with gauge_priors at the weight of four levels.
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column factors INTEGER[]: of the levels in order, see gauge_factors: 1 gauge or pair, 2 technician
-- column first_levels INTEGER[]: rows of xx
-- column second_levels INTEGER[]: columns of xx
-- column xx DOUBLE[]: upper triangle; what is not listed is 0
-- column xy DOUBLE[] [deg]: one per level
-- column yy DOUBLE [deg2]: sum of squares of the readings
-- column df BIGINT: readings less parts
-- column gauge_var DOUBLE [deg2]: between gauges, or pairs; REML
-- column technician_var DOUBLE [deg2]: between people; REML
-- column error_var DOUBLE [deg2]: of a reading with weight 1; REML
-- column gauge_count BIGINT: gauges, or pairs, compared
-- column technician_count BIGINT: people compared
-- column used_gauge_var DOUBLE [deg2]: the one that the effects use
-- column used_technician_var DOUBLE [deg2]: the one that the effects use
with
meetings as (
    select row_number() over () as meeting, *
    from gauge_comparisons
),
sides as (
    select meeting, response, gauge_1 as gauge, technician_1 as technician, -1 as sign from meetings
    union all
    select meeting, response, gauge_2 as gauge, technician_2 as technician, 1 as sign from meetings
),
marked as (
    select meeting, sign, level
    from sides
    inner join (select * from gauge_factors where kind = 'gauge') as gauges
        on gauges.response = sides.response and gauges.gauge is not distinct from sides.gauge
    union all
    select meeting, sign, level
    from sides
    inner join (select * from gauge_factors where kind = 'technician') as people using (response, technician)
    union all
    select meeting, sign, level
    from sides
    inner join (select * from gauge_factors where kind = 'pair') as pairs
        on pairs.response = sides.response
        and pairs.gauge is not distinct from sides.gauge
        and pairs.technician is not distinct from sides.technician
),
-- A level on both sides cancels.
differences as (
    select meeting, level, sum(sign) as sign
    from marked
    group by meeting, level
    having sum(sign) <> 0
),
products as (
    select response, first.level as first_level, second.level as second_level,
        exact_sum(weight * first.sign * second.sign) as xx
    from differences as first
    inner join differences as second using (meeting)
    inner join meetings using (meeting)
    where first.level <= second.level
    group by response, first.level, second.level
),
listed as (
    select
        response,
        list(first_level order by first_level, second_level) as first_levels,
        list(second_level order by first_level, second_level) as second_levels,
        list(xx order by first_level, second_level) as xx
    from products
    group by response
),
sums as (
    select response, level, exact_sum(gap_deg * sign) as xy
    from differences
    inner join meetings using (meeting)
    group by response, level
),
by_level as (
    select
        response,
        list(case kind when 'technician' then 2 else 1 end order by level) as factors,
        list(coalesce(xy, 0) order by level) as xy
    from gauge_factors
    left join sums using (response, level)
    group by response
),
totals as (
    select response, exact_sum(square_deg2) as yy, cast(sum(df) as bigint) as df
    from gauge_comparisons
    group by response
),
moments as (
    select
        response,
        factors,
        coalesce(first_levels, []) as first_levels,
        coalesce(second_levels, []) as second_levels,
        coalesce(xx, []) as xx,
        xy,
        yy,
        df
    from totals
    inner join by_level using (response)
    left join listed using (response)
    where df > 0
),
fitted as (
    select *, reml(factors, first_levels, second_levels, xx, xy, yy, df) as fit from moments
),
estimated as (
    select
        fitted.* exclude (fit),
        fit.ratio_1 * fit.error_var as gauge_var,
        fit.ratio_2 * fit.error_var as technician_var,
        fit.error_var as error_var,
        cast(fit.count_1 as bigint) as gauge_count,
        cast(fit.count_2 as bigint) as technician_count
    from fitted
)
select
    response,
    factors,
    first_levels,
    second_levels,
    xx,
    xy,
    yy,
    df,
    gauge_var,
    technician_var,
    error_var,
    gauge_count,
    technician_count,
    (greatest(gauge_count - 1, 0) * coalesce(gauge_var, 0) + 4 * bias_sd_deg * bias_sd_deg)
        / (greatest(gauge_count - 1, 0) + 4) as used_gauge_var,
    (greatest(technician_count - 1, 0) * coalesce(technician_var, 0) + bias_sd_deg * bias_sd_deg)
        / (greatest(technician_count - 1, 0) + 4) as used_technician_var
from estimated
inner join gauge_priors using (response)
