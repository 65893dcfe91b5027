-- title: Readings of states that were read under several conditions
-- grain: one row per reading of a state whose readings tell of different conditions
-- source: readings
-- missing: none
-- Conditions that change the angles: driver aboard, fuel, rolled, bolts tight, place. A blank differs from nothing, unless others of
-- the state differ: then it is a condition of its own. Fuel counts by 10 l from the lowest, about a tenth of the weight of a driver
-- (common practice, no source).
-- column chassis VARCHAR: platform code
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR RL RR
-- column visit VARCHAR: visit
-- column phase VARCHAR: before moved after
-- column repeat INTEGER: n-th reading of the same state
-- column level INTEGER: 1 = the conditions of most readings of the state, of equally many those of the first one; the state is their mean
-- column conditions VARCHAR: those that differ within the state, as this reading tells them
-- column source_file VARCHAR: file of the reading
-- column source_line INTEGER: physical line in that file
with
told as (
    select
        chassis,
        vehicle,
        corner,
        visit,
        phase,
        coalesce(repeat, 1) as repeat,
        driver_aboard,
        fuel_l,
        rolled,
        bolts_tight,
        place,
        source_file,
        source_line
    from readings
    semi join (
        select vehicle, corner, visit, phase
        from readings
        where coalesce(driver_aboard, rolled, bolts_tight, place) is not null or fuel_l is not null
    ) as telling using (vehicle, corner, visit, phase)
),
ranged as (
    select
        vehicle,
        corner,
        visit,
        phase,
        min(driver_aboard) <> max(driver_aboard) as driver_differs,
        max(fuel_l) - min(fuel_l) > 10 as fuel_differs,
        min(fuel_l) as least_fuel_l,
        min(rolled) <> max(rolled) as rolled_differs,
        min(bolts_tight) <> max(bolts_tight) as bolts_differ,
        min(place) <> max(place) as place_differs
    from told
    group by vehicle, corner, visit, phase
),
worded as (
    select
        told.*,
        least_fuel_l + 10 * floor((fuel_l - least_fuel_l) / 10) as from_l,
        concat_ws(
            ', ',
            case when driver_differs then 'driver aboard ' || coalesce(driver_aboard, 'blank') end,
            case when fuel_differs
                then coalesce(format('fuel from {:g} to {:g} l', from_l, from_l + 10), 'fuel blank')
            end,
            case when rolled_differs then 'rolled ' || coalesce(rolled, 'blank') end,
            case when bolts_differ then 'bolts tight ' || coalesce(bolts_tight, 'blank') end,
            case when place_differs then 'place ' || coalesce(place, 'blank') end
        ) as conditions
    from told
    inner join ranged using (vehicle, corner, visit, phase)
    where driver_differs or fuel_differs or rolled_differs or bolts_differ or place_differs
),
counted as (
    select vehicle, corner, visit, phase, conditions, count(*) as reading_count, min(repeat) as first_repeat
    from worded
    group by vehicle, corner, visit, phase, conditions
),
ranked as (
    select
        * exclude (reading_count, first_repeat),
        cast(row_number() over (
            partition by vehicle, corner, visit, phase order by reading_count desc, first_repeat
        ) as integer) as level
    from counted
)
select
    chassis,
    vehicle,
    corner,
    visit,
    phase,
    repeat,
    level,
    conditions,
    source_file,
    source_line
from worded
inner join ranked using (vehicle, corner, visit, phase, conditions)
