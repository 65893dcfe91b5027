-- The rows of unrecorded_changes, with the day on which a later install or adjust visit set the corner again (set_again_on).
create or replace temp macro told_unrecorded() as table
select unrecorded_changes.*, set_again_on
from unrecorded_changes
asof left join corner_resets() as resets
    on resets.vehicle = unrecorded_changes.vehicle
    and resets.corner = unrecorded_changes.corner
    and unrecorded_changes.ordered_ts < resets.set_again_ts;
