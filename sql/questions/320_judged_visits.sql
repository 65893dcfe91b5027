-- Visits that set a car to a target, one row each, judged as a whole: outside where one angle is, inside where all are.
-- came_back: the car's next install or adjust visit comes within come_back_days and is for the same target or none named; moved: whether
-- its first readings differ from those left behind by more than their noise allows.
-- first_time: the visit is itself no come-back; followed: the readings go on for come_back_days after it.
create or replace temp macro judged_visits(guard, come_back_days) as table
with
-- For the usual guard band they stand in set_visits.
verdicts as (
    select
        vehicle,
        visit,
        case
            when bool_or(verdict = 'outside') then 'outside'
            when bool_and(verdict = 'inside') then 'inside'
            else 'undecided'
        end as verdict
    from judged_settings(guard)
    where guard <> 1.65
    group by vehicle, visit
),
returned as (
    select
        *,
        coalesce(came_back_ts <= measured_ts + to_hours(cast(24 * come_back_days as bigint)), false) as came_back
    from set_visits
)
select
    vehicle,
    visit,
    chassis,
    visit_kind,
    measured_ts,
    ordered_ts,
    target,
    kit,
    gauge,
    technician,
    case when guard = 1.65 then usual_verdict else verdict end as verdict,
    hit,
    end_of_scale,
    strftime(measured_ts, '%Y-%m') as month,
    came_back,
    case when came_back then came_back_visit end as came_back_visit,
    case when came_back then came_back_ts end as came_back_ts,
    case when came_back then moved end as moved,
    coalesce(came_from_ts + to_hours(cast(24 * come_back_days as bigint)) < began_ts, true) as first_time,
    measured_ts + to_hours(cast(24 * come_back_days as bigint)) <= read_until_ts as followed
from returned
left join verdicts using (vehicle, visit);
