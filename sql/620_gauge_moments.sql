-- title: Sums that the comparison of gauges and people rests on
-- grain: one row per angle with at least one part read twice
-- source: gauge_readings, gauge_factors
-- missing: none
-- Weighted normal equations with a free constant per part, taken out: with Z the columns of the levels, W the weights and M the
-- weighted centring within parts, xx = Z'WMZ, xy = Z'WMy, yy = y'WMy.
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column levels INTEGER[]: numbers of the levels, see gauge_factors
-- column factors INTEGER[]: 1 gauge or pair, 2 technician
-- column xx DOUBLE[][]: sums of weights
-- column xy DOUBLE[] [deg]: sums with the readings
-- column yy DOUBLE [deg2]: sum of squares of the readings
-- column df BIGINT: readings less parts
-- column part_count BIGINT: parts
with
numbered as (
    select gauge_readings.*, row_number() over (order by part, read_deg, gauge, technician, weight) as reading
    from gauge_readings
),
parts as (
    select response, part, count(*) as n, exact_sum(weight) as w, exact_sum(weight * read_deg) as wy, exact_sum(weight * read_deg * read_deg) as wyy
    from gauge_readings
    group by response, part
),
totals as (
    select
        response,
        exact_sum(wyy - wy * wy / w) as yy,
        cast(sum(n - 1) as bigint) as df,
        count(*) as part_count
    from parts
    group by response
),
member as (
    select numbered.response, part, reading, read_deg, weight, level
    from numbered
    inner join gauge_factors
        on gauge_factors.response = numbered.response
        and (gauge_factors.gauge is null or gauge_factors.gauge = numbered.gauge)
        and (gauge_factors.technician is not distinct from numbered.technician or gauge_factors.kind = 'gauge')
),
in_parts as (
    select response, part, level, exact_sum(weight) as w, exact_sum(weight * read_deg) as wy
    from member
    group by response, part, level
),
sums as (
    select
        in_parts.response,
        in_parts.level,
        exact_sum(in_parts.wy - in_parts.w * parts.wy / parts.w) as xy
    from in_parts
    inner join parts using (response, part)
    group by in_parts.response, in_parts.level
),
together as (
    select first.response, first.level as level_1, second.level as level_2, exact_sum(first.weight) as w
    from member as first
    inner join member as second using (response, reading)
    group by first.response, first.level, second.level
),
centring as (
    select first.response, first.level as level_1, second.level as level_2, exact_sum(first.w * second.w / parts.w) as w
    from in_parts as first
    inner join in_parts as second using (response, part)
    inner join parts using (response, part)
    group by first.response, first.level, second.level
),
products as (
    select
        rows.response,
        rows.level,
        list(coalesce(together.w, 0) - coalesce(centring.w, 0) order by columns.level) as xx_row
    from gauge_factors as rows
    inner join gauge_factors as columns using (response)
    left join together on together.response = rows.response and together.level_1 = rows.level and together.level_2 = columns.level
    left join centring on centring.response = rows.response and centring.level_1 = rows.level and centring.level_2 = columns.level
    group by rows.response, rows.level
)
select
    products.response,
    list(products.level order by products.level) as levels,
    list(case gauge_factors.kind when 'technician' then 2 else 1 end order by products.level) as factors,
    list(xx_row order by products.level) as xx,
    list(xy order by products.level) as xy,
    any_value(yy) as yy,
    any_value(df) as df,
    any_value(part_count) as part_count
from products
inner join gauge_factors using (response, level)
inner join sums using (response, level)
inner join totals using (response)
group by products.response
