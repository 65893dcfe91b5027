-- title: States that are ordered by another time than their own
-- grain: one row per vehicle, corner, visit and phase where the two differ
-- source: placements
-- missing: none
-- A date without a clock time stands at the first clock time of its visit on that day, else at midnight; no phase stands ahead
-- of the phases before it.
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR RL RR
-- column visit VARCHAR: visit
-- column phase VARCHAR: before moved after
-- column ordered_ts TIMESTAMP: place in time, on the scale of instant_ts in placements
with
placed as materialized (
    select vehicle, corner, visit, phase, phase_order, measured_ts, instant_ts,
        has_clock(measured_at) as clocked
    from placements
),
-- Hashes stand for the keys, which are slow to group.
suspects as (
    select any_value(vehicle) as vehicle, any_value(visit) as visit
    from placed
    group by hash(vehicle, visit)
    having bool_or(clocked) <> bool_and(clocked)
        or max(instant_ts) filter (where phase_order = 1) > min(instant_ts) filter (where phase_order > 1)
        or max(instant_ts) filter (where phase_order = 2) > min(instant_ts) filter (where phase_order = 3)
),
timed as (
    select
        vehicle,
        corner,
        visit,
        phase,
        phase_order,
        cast(min(measured_ts) as date) as day,
        min(instant_ts) as first_ts,
        min(case when clocked then instant_ts end) as clock_ts
    from placed
    semi join suspects using (vehicle, visit)
    group by vehicle, corner, visit, phase, phase_order
),
filled as (
    select
        *,
        coalesce(clock_ts, min(clock_ts) over (partition by vehicle, visit, day), first_ts) as known_ts
    from timed
),
ordered as (
    select
        *,
        max(known_ts) over (partition by vehicle, corner, visit order by phase_order) as ordered_ts
    from filled
)
select
    vehicle,
    corner,
    visit,
    phase,
    ordered_ts
from ordered
where ordered_ts is distinct from first_ts
