-- One row per car with a session, those with most that moved first: how its corner sessions were judged, and when something last moved.
select
    vehicle,
    any_value(chassis) as chassis,
    count(distinct visit) as session_count,
    count(*) filter (where verdict = 'held') as held_count,
    count(*) filter (where verdict = 'plate_moved') as plate_moved_count,
    count(*) filter (where verdict = 'bent') as bent_count,
    count(*) filter (where verdict = 'other') as other_count,
    count(*) filter (where verdict = 'unclear') as unclear_count,
    strftime(max(measured_ts) filter (where verdict <> 'held'), '%Y-%m-%d') as last_day,
    strftime(max(measured_ts) filter (where verdict = 'bent'), '%Y-%m-%d') as last_bent_day
from drift
where $vehicle::varchar is null or vehicle = $vehicle
group by vehicle
order by count(*) filter (where verdict <> 'held' and reason is null) desc, max(measured_ts) desc, vehicle
