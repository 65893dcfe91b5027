-- Fronts that moved though nothing ran, or other than their pointers say, newest first.
select
    *,
    strftime(measured_ts, '%Y-%m-%d') as day
from told_unrecorded()
where $vehicle::varchar is null or vehicle = $vehicle
order by ordered_ts desc, vehicle, visit, phase, corner
