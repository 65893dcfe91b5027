-- title: Odds of the causes, from the prior and all sessions
-- grain: one row per cause and size class
-- source: drift_causes, drift_components, drift_likelihoods
-- missing: none
-- Empirical Bayes by expectation and maximisation: a cause's share is (its prior count + the expected number of sessions with it)
-- over (all prior counts + all sessions), until no share moves by 1e-4; causes on a corner count corner sessions, causes on the
-- car count car sessions (Dempster, Laird and Rubin 1977; with the prior as pseudo-counts it is the mode under a Dirichlet prior).
-- column cause VARCHAR: see drift_causes
-- column size INTEGER: size class; 1 where there is one only
-- column level VARCHAR: corner car
-- column prior_share DOUBLE: before the data
-- column share DOUBLE: after
-- column expected_count DOUBLE: expected number of sessions with it
-- column session_count DOUBLE: corner sessions, or car sessions
with recursive
sizes as (
    select cause, size, any_value(size_share) as size_share from drift_components group by cause, size
),
categories as (
    select
        causes.cause,
        coalesce(sizes.size, 1) as size,
        level,
        prior_share * coalesce(size_share, 1) as prior_share,
        prior_count * prior_share * coalesce(size_share, 1) as pseudo_count,
        prior_count
    from drift_causes as causes
    left join sizes on sizes.cause = causes.cause
),
fronts as (
    select vehicle, visit, corner, cause, size, exp(log_likelihood) as likelihood
    from drift_likelihoods
    where car_cause = 'none' and corner is not null
),
without_car as (
    select vehicle, visit, exp(log_likelihood) as likelihood
    from drift_likelihoods
    where car_cause = 'none' and corner is null
),
cars as (
    select vehicle, visit, car_cause, corner, cause, size, exp(log_likelihood) as likelihood
    from drift_likelihoods
    where car_cause <> 'none'
),
counts as (
    select 'corner' as level, count(distinct (vehicle, visit, corner)) as n from fronts
    union all
    select 'car' as level, count(distinct (vehicle, visit)) as n from fronts
),
steps as (
    select 0 as step, cause, size, level, prior_share as share, cast(0 as double) as expected, false as settled
    from categories
    union all
    (
        with
        state as (
            select * from steps where step < 50 and not settled
        ),
        front_weights as (
            select fronts.*, likelihood * share as weight
            from fronts
            inner join state using (cause, size)
        ),
        front_sums as (
            select vehicle, visit, corner, exact_sum(weight) as front_sum from front_weights group by vehicle, visit, corner
        ),
        held_weights as (
            select any_value(share) as held_share from state where cause = 'held'
        ),
        none_share as (
            select any_value(share) as none_share from state where cause = 'none'
        ),
        front_products as (
            select vehicle, visit, product(front_sum) * any_value(likelihood) as fronts_product, count(*) as front_count
            from front_sums
            inner join without_car using (vehicle, visit)
            group by vehicle, visit
        ),
        car_weights as (
            select
                cars.*,
                likelihood * car_state.share * front_state.share * case when front_count = 2 then held_share else 1 end as weight
            from cars
            inner join state as car_state on car_state.cause = cars.car_cause
            inner join state as front_state on front_state.cause = cars.cause and front_state.size = cars.size
            inner join front_products using (vehicle, visit)
            cross join held_weights
        ),
        car_sums as (
            select vehicle, visit, exact_sum(weight) as car_sum from car_weights group by vehicle, visit
        ),
        totals as (
            select
                front_products.vehicle,
                front_products.visit,
                none_share * fronts_product as none_weight,
                none_share * fronts_product + coalesce(car_sum, 0) as total
            from front_products
            cross join none_share
            left join car_sums using (vehicle, visit)
        ),
        expected as (
            select cause, size, exact_sum(weight / front_sum * none_weight / total) as expected
            from front_weights
            inner join front_sums using (vehicle, visit, corner)
            inner join totals using (vehicle, visit)
            group by cause, size
            union all
            select cause, size, exact_sum(weight / total) as expected
            from car_weights
            inner join totals using (vehicle, visit)
            group by cause, size
            union all
            -- The front that held beside it.
            select 'held' as cause, 1 as size, exact_sum(weight / total) as expected
            from car_weights
            inner join front_products using (vehicle, visit)
            inner join totals using (vehicle, visit)
            where front_count = 2
            union all
            select car_cause as cause, 1 as size, exact_sum(weight / total) as expected
            from car_weights
            inner join totals using (vehicle, visit)
            group by car_cause
            union all
            select 'none' as cause, 1 as size, exact_sum(none_weight / total) as expected from totals
        ),
        summed as (
            select cause, size, exact_sum(expected) as expected from expected where expected is not null group by cause, size
        ),
        updated as (
            select
                state.step + 1 as step,
                state.cause,
                state.size,
                state.level,
                state.share as old_share,
                (pseudo_count + coalesce(summed.expected, 0)) / (prior_count + n) as share,
                coalesce(summed.expected, 0) as expected
            from state
            inner join categories using (cause, size)
            inner join counts on counts.level = state.level
            left join summed using (cause, size)
        )
        select step, cause, size, level, share, expected, max(abs(share - old_share)) over () < 1e-4 as settled
        from updated
    )
)
select
    steps.cause,
    steps.size,
    steps.level,
    prior_share,
    share,
    expected as expected_count,
    cast(n as double) as session_count
from steps
inner join categories using (cause, size)
inner join counts on counts.level = steps.level
qualify step = max(step) over ()
