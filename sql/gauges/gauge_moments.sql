-- title: Normal equations of the comparison of gauges and people
-- grain: one row per angle with at least one part read twice
-- source: gauge_comparisons, gauge_factors
-- missing: none
-- Weighted normal equations with a free constant per part, taken out: with Z the columns of the levels, W the weights and M the
-- weighted centring within parts, xx = Z'WMZ, xy = Z'WMy, yy = y'WMy. Every two readings of gauge_comparisons add to them by the
-- levels in which they differ.
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column factors INTEGER[]: of the levels in order, see gauge_factors: 1 gauge or pair, 2 technician
-- column first_levels INTEGER[]: rows of xx
-- column second_levels INTEGER[]: columns of xx
-- column xx DOUBLE[]: upper triangle; what is not listed is 0
-- column xy DOUBLE[] [deg]: one per level
-- column yy DOUBLE [deg2]: sum of squares of the readings
-- column df BIGINT: readings less parts
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
)
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
