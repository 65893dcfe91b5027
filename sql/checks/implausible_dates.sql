-- title: Dates that cannot be, or lie far from all else that is known of the car
-- likely: the year mistyped, or day and month exchanged; the newest date is what the car is taken to stand at
-- mend: correct the time of reading and load the rows with --replace; if most of a file is told, look at the clock of this computer
-- p_mistake is 1 for readings younger than their load. Odds (from memory): a visit's date is mistyped 1 : 500, and then into one of 36
-- other years; a true reading older than 1980 1 : 100,000; a true visit of over half a year 1 : 2,000; a car that was away for over five
-- years 1 : 20. A year like no other of the field has half a visit's weight, spread over 40 years.
with
days as (
    select
        vehicle,
        visit,
        chassis,
        readings.load_id,
        reading_day(measured_at) as day,
        loaded_at,
        source_file,
        min(source_line) as source_line
    from readings
    left join loads using (load_id)
    group by all
),
visits as (
    select
        vehicle,
        visit,
        min(chassis) as chassis,
        max(load_id) as load_id,
        min(day) as first_day,
        max(day) as last_day,
        max(day) filter (where day_after_load(day, loaded_at)) as future_day,
        max(loaded_at) as loaded_at,
        min(day) filter (where day_too_old(day)) as old_day,
        arg_max({'file': source_file, 'line': source_line}, day) as last_place,
        arg_min({'file': source_file, 'line': source_line}, day) as first_place
    from days
    where day is not null
    group by vehicle, visit
),
-- Visits of each year, and of it and its neighbours.
years as (
    select
        year(first_day) as year,
        sum(count(*)) over (order by year(first_day) range between 1 preceding and 1 following) as near_count,
        sum(count(*)) over () as visit_count
    from visits
    group by year(first_day)
),
car_years as (
    select distinct vehicle, year(first_day) as year
    from visits
    where future_day is null and old_day is null
),
-- The nearest other visits of the car.
spaced_visits as (
    select
        *,
        least(
            first_day - lag(last_day) over car_visits,
            lead(first_day) over car_visits - last_day
        ) as away_days
    from visits
    window car_visits as (partition by vehicle order by first_day, last_day, visit)
),
judged as (
    select
        *,
        case
            when future_day is not null then 'future'
            when old_day is not null then 'old'
            when last_day - first_day > 183 then 'long'
            when away_days > 5 * 365 then 'far'
        end as fault,
        case fault when 'future' then future_day when 'old' then old_day else first_day end as day
    from spaced_visits
    where fault is not null
),
-- Another year of the car that is one digit, or two exchanged ones, away.
fitting as (
    select judged.vehicle, judged.visit, arg_min(car_years.year, abs(car_years.year - year(day))) as fitting_year
    from judged
    inner join car_years
        on car_years.vehicle = judged.vehicle
        and damerau_levenshtein(
            lpad(cast(car_years.year as varchar), 4, '0'), lpad(cast(year(day) as varchar), 4, '0')
        ) = 1
    group by judged.vehicle, judged.visit
),
weighed as (
    select
        judged.*,
        fitting_year,
        case fault
            when 'future' then 1
            when 'old' then posterior(1 / 500.0 * 1e5, 0)
            when 'long' then posterior(2000 / 500.0, 0)
            else posterior(
                1 / 500.0 / 36 / (1 / 20.0 * greatest(0.5 / 40, (near_count - 1) / 3.0) / (visit_count + 1)), 0
            )
        end as p_mistake
    from judged
    inner join years on years.year = year(first_day)
    left join fitting using (vehicle, visit)
    where fault <> 'far' or fitting_year is not null
),
-- Where most of a load is younger than the load, the clock is likelier wrong than every date.
clocks as (
    select load_id, count(*) as visit_count, count(future_day) as future_count
    from visits
    group by load_id
    having future_count >= 3 and 2 * future_count > visit_count
),
found as (
    select
        chassis,
        vehicle,
        visit,
        concat(
            case fault
                when 'future' then format('dated {}, after it was loaded ({})', day, cast(loaded_at as date))
                when 'old' then format('dated {}', strftime(day, '%Y-%m-%d'))
                when 'long' then format('lasts from {} to {}', first_day, last_day)
                else format('dated {}, {} years from any other visit of the car', first_day, round(away_days / 365.25))
            end,
            case when fault <> 'long' then format('; {} would fit its other visits', fitting_year) end
        ) as finding,
        p_mistake,
        case when fault in ('future', 'long') then last_place else first_place end as place
    from weighed
    where not (fault = 'future' and load_id in (select load_id from clocks))
    union all
    select
        cast(null as varchar) as chassis,
        cast(null as varchar) as vehicle,
        cast(null as varchar) as visit,
        format(
            '{} of {} visits of this file are dated after it was loaded ({}): look at the clock of this computer',
            any_value(future_count), any_value(visit_count), cast(any_value(loaded_at) as date)
        ) as finding,
        1 as p_mistake,
        min(last_place) as place
    from judged
    inner join clocks using (load_id)
    where fault = 'future'
    group by load_id
)
select
    chassis,
    vehicle,
    cast(null as varchar) as corner,
    visit,
    finding,
    cast(p_mistake as double) as p_mistake,
    place.file as source_file,
    place.line as source_line
from found
where p_mistake >= 0.5
