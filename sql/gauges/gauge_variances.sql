-- title: Variance between gauges and between people, with the normal equations of their comparison
-- grain: one row per angle with at least one part read twice
-- source: readers, gauge_comparisons, angle_priors, reading_noise
-- missing: a variance is NULL where fewer than two levels of its factor were compared
-- Levels that may shift a reading: gauges and people, or, where each person uses only one of several gauges, their pairs, for then nobody
-- can tell the two apart (confounded). Readings without a gauge are a level of their own, '(not named)'; those without a person have none.
-- Weighted normal equations with a free constant per part, taken out: with Z the columns of the levels, W the weights and M the
-- weighted centring within parts, xx = Z'WMZ, xy = Z'WMy, yy = y'WMy. Every two readings of gauge_comparisons add to them by the
-- levels in which they differ.
-- Restricted maximum likelihood (REML, src/stats/reml.ts) of the mixed model reading = part (free) + gauge (random) + person (random)
-- + error, error variance proportional to 1 / weight (Searle, Casella and McCulloch, Variance Components, 1992, chapter 6; from
-- memory). Few levels tell little of a variance, so the effects use its mean with angle_priors at the weight of four levels,
-- and the error variance times the design effect of cars (src/stats/comparisonDesignEffect.ts) with that of reading_noise at four degrees of freedom.
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column factors INTEGER[]: of the levels in order, gauges first: 1 gauge or pair, 2 technician
-- column kinds VARCHAR[]: the same: gauge technician pair
-- column names VARCHAR[]: their names
-- column gauges VARCHAR[]: gauge of each; NULL for a person, and for readings without one
-- column technicians VARCHAR[]: person of each; NULL for a gauge
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
-- column effect_vars DOUBLE[] [deg2]: that of each level
-- column design_effect DOUBLE: of cars, whose readings share mountings and floors
-- column used_error_var DOUBLE [deg2]: the error variance that the effects use
with
usage as (
    select technician, count(distinct gauge) as gauge_count
    from readers
    where technician is not null and gauge is not null
    group by technician
),
design as (
    select (select count(distinct gauge) from readers) > 1 and coalesce(max(gauge_count), 0) = 1 as confounded
    from usage
),
summed as (
    select response, reader_1, reader_2, gauge_1, technician_1, gauge_2, technician_2,
        exact_sum(weight) as weight, exact_sum(gap_deg) as gap_deg
    from gauge_comparisons group by all
),
comparisons as (
    select
        row_number() over (order by response, reader_1, reader_2) as comparison,
        response, reader_1, reader_2, weight, gap_deg,
        unnest([
            {'sign': -1, 'gauge': gauge_1, 'technician': technician_1},
            {'sign': 1, 'gauge': gauge_2, 'technician': technician_2}
        ], recursive := true)
    from summed
),
named as (
    select
        comparisons.* exclude (gauge, technician),
        coalesce(gauge, '(not named)') as gauge_name,
        unnest(case
            when confounded then [{
                'kind': 'pair', 'name': gauge_name || coalesce(' with ' || technician, ''), 'gauge': gauge,
                'technician': technician
            }]
            else [
                {'kind': 'gauge', 'name': gauge_name, 'gauge': gauge, 'technician': null},
                {'kind': 'technician', 'name': technician, 'gauge': null, 'technician': technician}
            ]
        end, recursive := true)
    from comparisons
    cross join design
),
levelled as (
    select
        *,
        cast(dense_rank() over (partition by response order by kind, name, gauge, technician) as integer) as level
    from named
    where name is not null
),
-- A level on both sides cancels.
differences as (
    select response, comparison, reader_1, reader_2, level, weight, gap_deg, cast(sum(sign) as integer) as sign
    from levelled
    group by response, comparison, reader_1, reader_2, level, weight, gap_deg
    having sum(sign) <> 0
),
products as (
    select first.response, first.level as first_level, second.level as second_level,
        exact_sum(first.weight * first.sign * second.sign) as xx
    from differences as first
    inner join differences as second using (comparison)
    where first.level <= second.level
    group by first.response, first.level, second.level
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
    select response, level, exact_sum(gap_deg * sign) as xy from differences group by response, level
),
told as (
    select
        response,
        list(lot order by lot, comparison, level) as lots,
        list(cast(comparison as integer) order by lot, comparison, level) as comparisons,
        list(level order by lot, comparison, level) as compared, list(sign order by lot, comparison, level) as signs,
        list(own.weight order by lot, comparison, level) as weights,
        list(own.gap_deg order by lot, comparison, level) as gaps
    from gauge_comparisons as own
    inner join differences using (response, reader_1, reader_2)
    group by response
),
by_level as (
    select
        response,
        list(case kind when 'technician' then 2 else 1 end order by level) as factors,
        list(kind order by level) as kinds, list(name order by level) as names,
        list(gauge order by level) as gauges, list(technician order by level) as technicians,
        list(coalesce(xy, 0) order by level) as xy
    from (select distinct response, level, kind, name, gauge, technician from levelled) as levels
    left join sums using (response, level)
    group by response
),
totals as (
    select response, exact_sum(square_deg2) as yy, cast(sum(df) as bigint) as df
    from gauge_comparisons group by response
),
moments as (
    select
        by_level.*,
        coalesce(first_levels, []) as first_levels, coalesce(second_levels, []) as second_levels,
        coalesce(xx, []) as xx, yy, df,
        lots, comparisons, compared, signs, weights, gaps
    from totals
    inner join by_level using (response)
    left join listed using (response)
    left join told using (response)
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
        cast(fit.count_1 as bigint) as gauge_count, cast(fit.count_2 as bigint) as technician_count,
        (greatest(gauge_count - 1, 0) * coalesce(gauge_var, 0) + 4 * bias_sd_deg * bias_sd_deg)
            / (greatest(gauge_count - 1, 0) + 4) as used_gauge_var,
        (greatest(technician_count - 1, 0) * coalesce(technician_var, 0) + bias_sd_deg * bias_sd_deg)
            / (greatest(technician_count - 1, 0) + 4) as used_technician_var,
        [case f when 1 then used_gauge_var else used_technician_var end for f in factors] as effect_vars,
        sd_deg * sd_deg as typical_var
    from fitted
    inner join angle_priors using (response)
    inner join reading_noise using (response)
    where reading_noise.gauge is null
)
select
    response,
    factors, kinds, names, gauges, technicians,
    first_levels, second_levels, xx, xy, yy, df,
    gauge_var, technician_var, error_var, gauge_count, technician_count,
    used_gauge_var, used_technician_var, effect_vars,
    coalesce(comparison_design_effect(
        first_levels, second_levels, xx, xy, effect_vars, (df * error_var + 4 * typical_var) / (df + 4), error_var,
        lots, comparisons, compared, signs, weights, gaps
    ), 1) as design_effect,
    (df * error_var * design_effect + 4 * typical_var) / (df + 4) as used_error_var
from estimated
