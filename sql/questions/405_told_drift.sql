-- The rows of drift, with the day on which a later install or adjust visit set the corner again (set_again_on). A visit that found and
-- left the bearing at one place by the pointers did not.
create or replace temp macro told_drift() as table
with
resets as (
    select vehicle, corner, ordered_ts as set_again_ts, strftime(measured_ts, '%Y-%m-%d') as set_again_on
    from settings
    where left_behind
        and not coalesce(
            found and kit is not distinct from found_kit
                and abs(offset_out_mm - found_out_mm) < 1e-3 and abs(offset_aft_mm - found_aft_mm) < 1e-3,
            false
        )
)
select
    drift.*,
    set_again_on,
    count(*) filter (where verdict = 'plate_moved') over (
        partition by drift.vehicle, drift.corner
        order by drift.ordered_ts, drift.visit
        rows between unbounded preceding and 1 preceding
    ) as earlier_slip_count,
    sessions.hits,
    sessions.note as session_note
from drift
left join sessions on sessions.vehicle = drift.vehicle and sessions.session = drift.session
asof left join resets
    on resets.vehicle = drift.vehicle and resets.corner = drift.corner and drift.ordered_ts < resets.set_again_ts;
