-- title: Times without a zone on cars that have times with one
-- grain: one row per reading without a zone of a car that has a reading with one
-- source: readings
-- missing: none
-- The zone of the nearest time, as written, of the same car; of two as near the earlier.
-- column chassis VARCHAR: platform code
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR RL RR
-- column visit VARCHAR: visit
-- column phase VARCHAR: before moved after
-- column repeat INTEGER: n-th reading of the same state
-- column assumed_minutes INTEGER [min]: what the zone is ahead of UTC
with
zoned as (
    select distinct vehicle from readings where zone_minutes(measured_at) is not null
),
times as (
    select
        chassis,
        vehicle,
        corner,
        visit,
        phase,
        coalesce(repeat, 1) as repeat,
        wall_time(measured_at) as wall_ts,
        zone_minutes(measured_at) as minutes
    from readings
    semi join zoned using (vehicle)
),
between_zones as (
    select
        *,
        last_value(case when minutes is not null then {'ts': wall_ts, 'minutes': minutes} end ignore nulls) over (
            partition by vehicle order by wall_ts, minutes rows between unbounded preceding and current row
        ) as earlier,
        first_value(case when minutes is not null then {'ts': wall_ts, 'minutes': minutes} end ignore nulls) over (
            partition by vehicle order by wall_ts, minutes rows between current row and unbounded following
        ) as later
    from times
)
select
    chassis,
    vehicle,
    corner,
    visit,
    phase,
    repeat,
    case when later.ts - wall_ts < wall_ts - earlier.ts or earlier is null then later.minutes
        else earlier.minutes end as assumed_minutes
from between_zones
where minutes is null
