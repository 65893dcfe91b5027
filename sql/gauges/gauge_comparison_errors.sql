-- title: Error variance of the comparisons of gauges and people, with cars as clusters
-- grain: one row per angle of gauge_variances
-- source: gauge_comparisons, gauge_variances, reading_noise, readers
-- missing: none
-- Comparisons of one car share states, floor and mountings: what a reader was off in one counts in the next. The design effect is the
-- mean of that of all directions in which levels may differ (Rao and Scott 1984, first-order correction; from memory): of the scores of
-- the normal equations, summed by car, what the predicted effects leave over, in their covariance, less what the fit takes of it,
-- 1 / cars; a car counts by its weight (Kish 1965, section 11.2; from memory). It counts as 1.3 at the weight of four cars (of simulated
-- fields 1.0 to 1.6, no source) and no less than 1. The error variance is the one of reading_noise where the comparison has few degrees of
-- freedom (four of its weight).
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column cars DOUBLE: cars compared, in those of equal weight
-- column design_effect DOUBLE: variance of the comparison over that of independent readings
-- column error_var_deg2 DOUBLE [deg2]: of a reading with weight 1, as it counts in what the comparison tells
with
known as (
    select
        variances.*,
        [case f when 1 then used_gauge_var else used_technician_var end for f in factors] as effect_vars,
        sd_deg * sd_deg as typical_var,
        (df * error_var + 4 * typical_var) / (df + 4) as mixed_var
    from gauge_variances as variances
    inner join (select response, sd_deg from reading_noise where gauge is null) as typical using (response)
),
covariances as (
    select
        response,
        unnest(effect_covariances(first_levels, second_levels, xx, effect_vars, mixed_var), recursive := true)
    from known
),
levels as (
    select
        response,
        cast(unnest(range(1, len(factors) + 1)) as integer) as level,
        unnest(kinds) as kind,
        unnest(gauges) as gauge,
        unnest(technicians) as technician,
        unnest(xy) as xy
    from gauge_variances
),
effects as (
    select response, first_level as level, exact_sum(covariance * xy) as effect
    from covariances
    inner join levels using (response)
    where second_level = level
    group by response, first_level
),
of_readers as (
    select
        response,
        reader,
        list(level order by level) as levels,
        exact_sum(effect) / any_value(mixed_var) as effect
    from readers
    inner join levels on (kind = 'technician' or levels.gauge is not distinct from readers.gauge)
        and (kind = 'gauge' or levels.technician is not distinct from readers.technician)
    inner join effects using (response, level)
    inner join known using (response)
    group by response, reader
),
left_over as (
    select
        response,
        car,
        first.levels as first_levels,
        second.levels as second_levels,
        gap_deg - weight * (second.effect - first.effect) as score
    from gauge_comparisons
    inner join of_readers as first using (response)
    inner join of_readers as second using (response)
    where first.reader = reader_1 and second.reader = reader_2 and reader_1 <> reader_2
),
scores as (
    select response, car, level, exact_sum(score) as score
    from (
        select response, car, unnest(first_levels) as level, -score as score from left_over
        union all
        select response, car, unnest(second_levels) as level, score from left_over
    ) as both_sides
    group by response, car, level
),
scattered as (
    select response, exact_sum(first.score * second.score * covariance) as scatter
    from scores as first
    inner join scores as second using (response, car)
    inner join covariances using (response)
    where first_level = first.level and second_level = second.level
    group by response
),
expected as (
    select response, exact_sum(xx * covariance * case when first_level = second_level then 1 else 2 end) as scatter
    from (
        select response, unnest(first_levels) as first_level, unnest(second_levels) as second_level, unnest(xx) as xx
        from gauge_variances
    ) as products
    inner join covariances using (response, first_level, second_level)
    group by response
),
weighed as (
    select response, pow(exact_sum(weight), 2) / nullif(exact_sum(weight * weight), 0) as cars
    from (
        select response, car, exact_sum(weight) as weight
        from gauge_comparisons
        where reader_1 <> reader_2
        group by response, car
    ) as by_car
    group by response
),
clustered as (
    select
        response,
        coalesce(cars, 1) as cars,
        scattered.scatter * cars / nullif(error_var * expected.scatter, 0) as among_cars
    from known
    left join weighed using (response)
    left join scattered using (response)
    left join expected using (response)
)
select
    response,
    cars,
    greatest((coalesce(among_cars, 0) + 4 * 1.3) / (cars + 3), 1) as design_effect,
    (df * error_var * design_effect + 4 * typical_var) / (df + 4) as error_var_deg2
from clustered
inner join known using (response)
