-- Cars of which a front corner was read, newest read first: the first asked_count of them, or the one that is asked for. car_count: all
-- that were asked for.
create or replace temp macro page_cars(asked_vehicle, asked_count) as table
select
    vehicle,
    min(chassis) as chassis,
    row_number() over (order by max(measured_ts) desc nulls last, vehicle) as place,
    count(*) over () as car_count,
    count(distinct visit) as visit_count,
    strftime(min(measured_ts), '%Y-%m-%d') as first_day,
    strftime(max(measured_ts), '%Y-%m-%d') as last_day
from states
where corner in ('FL', 'FR') and (asked_vehicle is null or vehicle = asked_vehicle)
group by vehicle
order by place
limit asked_count;
