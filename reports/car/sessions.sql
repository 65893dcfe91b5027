-- What each session did to the fronts of the cars of the page, newest first, the newest 30 of each car; held corners too.
with
cars as (
    select vehicle from page_cars($vehicle::varchar, 24)
)
select
    drift.*,
    strftime(measured_ts, '%Y-%m-%d') as day
from told_drift() as drift
semi join cars using (vehicle)
qualify row_number() over (partition by vehicle order by ordered_ts desc, visit, corner) <= 30
order by vehicle, ordered_ts desc, visit, corner
