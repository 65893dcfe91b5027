-- title: How much of a reading's variance the moves of a chassis hold
-- grain: one row per chassis and response with moves
-- source: state_pairs
-- missing: none
-- The scale of sqrt(weight) * residual has the variance 2 sd^2 where a visit has two states and 2/3 of that where it has three.
-- column chassis VARCHAR: platform code
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column share DOUBLE: of 2 sd^2, mean over the moves, 2/3 to 1
with
visits as (
    select
        chassis,
        count(camber_change_deg) as camber_deg,
        count(caster_change_deg) as caster_deg,
        count(toe_change_deg) as toe_deg,
        count(sai_change_deg) as sai_deg
    from state_pairs
    where kit_change is null
    group by chassis, vehicle, corner, visit
),
-- How many visits have how many pairs.
cells as (
    select chassis, camber_deg, caster_deg, toe_deg, sai_deg, count(*) as visit_count
    from visits
    group by all
),
counted as (
    unpivot cells on camber_deg, caster_deg, toe_deg, sai_deg into name response value pair_count
)
select
    chassis,
    response,
    sum(
        visit_count * pair_count * case when pair_count > 1 then 2 else 3 end
    ) / (3 * sum(visit_count * pair_count)) as share
from counted
where pair_count > 0
group by chassis, response
