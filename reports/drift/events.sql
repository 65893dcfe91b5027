-- One row per front corner and session, newest first. vehicle_rank: cars with most that moved first.
with
ranked as (
    select
        vehicle,
        row_number() over (
            order by count(*) filter (where verdict <> 'held' and reason is null) desc, max(measured_ts) desc, vehicle
        ) as vehicle_rank
    from drift
    where $vehicle::varchar is null or vehicle = $vehicle
    group by vehicle
),
counted as (
    select
        vehicle,
        visit,
        row_number() over (partition by vehicle order by min(ordered_ts), visit) as session_number
    from drift
    group by vehicle, visit
)
select
    drift.*,
    strftime(measured_ts, '%Y-%m-%d') as day,
    vehicle_rank,
    session_number,
    vehicle || case corner when 'FL' then ' L' else ' R' end as side,
    greatest(coalesce(1 - p_held, 0), 0) as p_moved,
    coalesce(camber_equal_toe_deg, camber_change_deg) as camber_compared_deg,
    case verdict
        when 'plate_moved' then 'plate moved'
        else verdict
    end as drawn_as
from told_drift() as drift
inner join ranked using (vehicle)
inner join counted using (vehicle, visit)
order by drift.ordered_ts desc, drift.vehicle, drift.visit, drift.corner
