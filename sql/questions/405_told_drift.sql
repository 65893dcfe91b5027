-- The rows of drift, with the day on which a later install or adjust visit set the corner again (set_again_on), and on which it was found put
-- right without a record before anything else ran (put_right_on).
create or replace temp macro told_drift() as table
with
put_right as (
    select vehicle, corner, ordered_ts as put_right_ts, strftime(measured_ts, '%Y-%m-%d') as put_right_on
    from unrecorded_changes
    where verdict = 'put_right'
)
select
    drift.*,
    set_again_on,
    case
        when put_right_ts < coalesce(lead(drift.ordered_ts) over own, 'infinity') then put_right_on
    end as put_right_on,
    count(*) filter (where verdict = 'plate_moved') over (own rows between unbounded preceding and 1 preceding)
        as earlier_slip_count,
    sessions.hits,
    sessions.note as session_note
from drift
left join sessions on sessions.vehicle = drift.vehicle and sessions.session = drift.session
asof left join corner_resets() as resets
    on resets.vehicle = drift.vehicle and resets.corner = drift.corner and drift.ordered_ts < resets.set_again_ts
asof left join put_right
    on put_right.vehicle = drift.vehicle
    and put_right.corner = drift.corner
    and drift.ordered_ts < put_right.put_right_ts
window own as (partition by drift.vehicle, drift.corner order by drift.ordered_ts, drift.visit);
