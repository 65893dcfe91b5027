-- title: Differences between gauges, pair by pair
-- grain: one row per angle and two gauges that read one setting, either way round
-- source: gauge_comparisons, gauge_variances
-- missing: gauges are NULL for readings without one
-- Weighted mean of all that both read, however far they are apart, neither shrunken nor freed of the people who read: what a shop sees
-- that puts both on one car. Error variance as in gauge_effects.
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column gauge VARCHAR: measuring equipment
-- column other_gauge VARCHAR: what it is compared with
-- column difference_deg DOUBLE [deg]: gauge less other_gauge
-- column std_error_deg DOUBLE [deg]: its standard error
-- column setting_count BIGINT: settings that both read
with
both_ways as (
    select response, gauge_2 as gauge, gauge_1 as other_gauge, part_count, weight, gap_deg
    from gauge_comparisons
    where gauge_1 is distinct from gauge_2
    union all
    select response, gauge_1 as gauge, gauge_2 as other_gauge, part_count, weight, -gap_deg as gap_deg
    from gauge_comparisons
    where gauge_1 is distinct from gauge_2
),
summed as (
    select
        response,
        gauge,
        other_gauge,
        exact_sum(gap_deg) as gap_deg,
        exact_sum(weight) as weight,
        cast(sum(part_count) as bigint) as setting_count
    from both_ways
    group by response, gauge, other_gauge
)
select
    response,
    gauge,
    other_gauge,
    gap_deg / weight as difference_deg,
    sqrt(used_error_var / weight) as std_error_deg,
    setting_count
from summed
inner join gauge_variances using (response)
where weight > 0
