-- title: Probabilities of what happened to a front corner over a session
-- grain: one row per corner session that can be compared, cause on the car and cause on the corner
-- source: drift_likelihoods, drift_odds
-- missing: none; the rows of a corner session sum to 1
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR
-- column visit VARCHAR: visit
-- column car_cause VARCHAR: cause on the car, none = nothing
-- column cause VARCHAR: cause on the corner
-- column p_cause DOUBLE: posterior probability
with
odds as (
    select cause, size, share from drift_odds
),
held_odds as (
    select any_value(share) as held_share from odds where cause = 'held'
),
fronts as (
    select vehicle, visit, corner, cause, exact_sum(exp(log_likelihood) * share) as weight
    from drift_likelihoods
    inner join odds using (cause, size)
    where car_cause = 'none' and corner is not null
    group by vehicle, visit, corner, cause
),
front_sums as (
    select vehicle, visit, corner, exact_sum(weight) as front_sum from fronts group by vehicle, visit, corner
),
without_car as (
    select
        vehicle,
        visit,
        any_value(share) * any_value(exp(log_likelihood)) * product(front_sum) as none_weight,
        count(*) as front_count
    from front_sums
    inner join (select * from drift_likelihoods where car_cause = 'none' and corner is null) as nothing using (vehicle, visit)
    inner join odds on odds.cause = 'none'
    group by vehicle, visit
),
cars as (
    select
        likelihoods.vehicle,
        likelihoods.visit,
        car_cause,
        likelihoods.corner,
        likelihoods.cause,
        exact_sum(
            exp(log_likelihood) * car_odds.share * front_odds.share * case when front_count = 2 then held_share else 1 end
        ) as weight
    from drift_likelihoods as likelihoods
    inner join odds as car_odds on car_odds.cause = car_cause
    inner join odds as front_odds on front_odds.cause = likelihoods.cause and front_odds.size = likelihoods.size
    inner join without_car using (vehicle, visit)
    cross join held_odds
    where car_cause <> 'none'
    group by likelihoods.vehicle, likelihoods.visit, car_cause, likelihoods.corner, likelihoods.cause
),
totals as (
    select vehicle, visit, none_weight, none_weight + coalesce(car_sum, 0) as total
    from without_car
    left join (select vehicle, visit, exact_sum(weight) as car_sum from cars group by vehicle, visit) as car_sums using (vehicle, visit)
),
with_car as (
    select
        front_sums.vehicle,
        front_sums.corner,
        front_sums.visit,
        car_cause,
        case when cars.corner = front_sums.corner then cars.cause else 'held' end as own_cause,
        exact_sum(weight) as weight
    from front_sums
    inner join cars using (vehicle, visit)
    group by front_sums.vehicle, front_sums.corner, front_sums.visit, car_cause, own_cause
)
select vehicle, corner, visit, 'none' as car_cause, cause, weight / front_sum * none_weight / total as p_cause
from fronts
inner join front_sums using (vehicle, visit, corner)
inner join totals using (vehicle, visit)
union all
select vehicle, corner, visit, car_cause, own_cause as cause, weight / total as p_cause
from with_car
inner join totals using (vehicle, visit)
