-- title: Marginal likelihoods of what may have happened in a session
-- grain: one row per session visit, cause on the car, and cause and size class on one front (the other front held); and one per visit
-- for no cause on the car, whose rows of a front are relative to that front's likeliest cause
-- source: drift_terms, rear_terms, car_components
-- missing: a front that was not read counts as held and adds nothing
-- Sizes, slopes' uncertainty, ways of the rears and angles not read are integrated out. Without a cause on the car the fronts are
-- independent and each has its own rows; with one, both fronts and the rears are taken together, and at most one front has slipped
-- besides.
-- column vehicle VARCHAR: one car
-- column visit VARCHAR: visit
-- column car_cause VARCHAR: cause on the car, see drift_causes
-- column corner VARCHAR: FL FR; NULL = both fronts held
-- column cause VARCHAR: cause on that front
-- column size INTEGER: its size class
-- column log_likelihood DOUBLE: relative to the likeliest of the visit; 0 at most
with
alone as (
    select
        vehicle,
        visit,
        corner,
        cause,
        size,
        top_all + ln(exact_sum(exp(log_share - deviance / 2 - top_all))) as log_likelihood
    from (
        select *, max(log_share - deviance / 2) over (partition by vehicle, visit, corner, cause, size) as top_all
        from drift_terms
        where car_component = 'none'
    )
    group by vehicle, visit, corner, cause, size, top_all
),
tops as (
    select vehicle, visit, corner, max(log_likelihood) as top from alone group by vehicle, visit, corner
),
rears_alone as (
    select
        vehicle,
        visit,
        any_value(top_all) + ln(exact_sum(exp(log_share - deviance / 2 - top_all))) as log_likelihood
    from (
        select *, max(log_share - deviance / 2) over (partition by vehicle, visit) as top_all
        from rear_terms
        where car_component = 'none'
    )
    group by vehicle, visit
),
likeliest as (
    select
        vehicle,
        visit,
        sum(top order by corner) + coalesce(any_value(rears_alone.log_likelihood), 0) as likeliest
    from tops
    left join rears_alone using (vehicle, visit)
    group by vehicle, visit
),
held as (
    select * from drift_terms where cause = 'held' and car_component <> 'none'
),
one_front as (
    select
        terms.vehicle,
        terms.visit,
        case when terms.cause <> 'held' then terms.corner end as corner,
        terms.cause,
        terms.size,
        terms.car_component,
        terms.log_share,
        terms.deviance + coalesce(held.deviance, 0) as deviance,
        terms.linear + coalesce(held.linear, 0) as linear,
        terms.quadratic + coalesce(held.quadratic, 0) as quadratic
    from drift_terms as terms
    left join held
        on held.vehicle = terms.vehicle
        and held.visit = terms.visit
        and held.car_component = terms.car_component
        and held.corner <> terms.corner
    where terms.car_component <> 'none' and (terms.cause <> 'held' or terms.corner = 'FL' or held.vehicle is null)
),
together as (
    select
        one_front.vehicle,
        one_front.visit,
        one_front.corner,
        one_front.cause,
        one_front.size,
        one_front.car_component,
        one_front.log_share + coalesce(rear_terms.log_share, 0) as log_share,
        one_front.deviance + coalesce(rear_terms.deviance, 0) as deviance,
        one_front.linear + coalesce(rear_terms.linear, 0) as linear,
        one_front.quadratic + coalesce(rear_terms.quadratic, 0) as quadratic
    from one_front
    left join rear_terms
        on rear_terms.vehicle = one_front.vehicle
        and rear_terms.visit = one_front.visit
        and rear_terms.car_component = one_front.car_component
),
sized as (
    select
        together.*,
        car.cause as car_cause,
        ln(car.share) + log_share
            - (deviance - linear * linear / (quadratic + 1 / (car.sd * car.sd)) + ln(1 + car.sd * car.sd * quadratic)) / 2 as term
    from together
    inner join (select distinct cause, component, share, sd from car_components) as car on car.component = car_component
),
with_car as (
    select
        vehicle,
        visit,
        car_cause,
        corner,
        cause,
        size,
        any_value(top_all) + ln(exact_sum(exp(term - top_all))) as log_likelihood
    from (
        select *, max(term) over (partition by vehicle, visit, car_cause, corner, cause, size) as top_all from sized
    )
    group by vehicle, visit, car_cause, corner, cause, size
),
compared as (
    select with_car.* replace (log_likelihood - likeliest as log_likelihood)
    from with_car
    inner join likeliest using (vehicle, visit)
),
scales as (
    select vehicle, visit, greatest(coalesce(max(compared.log_likelihood), 0), 0) as scale
    from likeliest
    left join compared using (vehicle, visit)
    group by vehicle, visit
)
select vehicle, visit, 'none' as car_cause, corner, cause, size, alone.log_likelihood - top as log_likelihood
from alone
inner join tops using (vehicle, visit, corner)
union all
select vehicle, visit, 'none' as car_cause, null as corner, 'held' as cause, 1 as size, -scale as log_likelihood
from scales
union all
select vehicle, visit, car_cause, corner, cause, size, log_likelihood - scale as log_likelihood
from compared
inner join scales using (vehicle, visit)
