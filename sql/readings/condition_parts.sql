-- title: States of one visit that may be compared, where conditions differ
-- grain: one row per vehicle, corner, visit and phase moved or after of a visit with condition_changes
-- source: condition_changes
-- kept: as a view
-- missing: none; states that are not here are of part 1
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR RL RR
-- column visit VARCHAR: visit
-- column phase VARCHAR: moved after
-- column part INTEGER: states of one number differ in no condition that both tell
with
differing as (
    select
        vehicle,
        corner,
        visit,
        bool_or(from_phase = 'before' and to_phase = 'moved') as before_moved,
        bool_or(from_phase = 'before' and to_phase = 'after') as before_after,
        bool_or(from_phase = 'moved' and to_phase = 'after') as moved_after
    from condition_changes
    group by vehicle, corner, visit
)
select vehicle, corner, visit, 'moved' as phase, case when before_moved then 2 else 1 end as part
from differing
union all
select
    vehicle,
    corner,
    visit,
    'after' as phase,
    case
        when before_after and before_moved and not moved_after then 2
        when before_after or (moved_after and not before_moved) then 3
        else 1
    end as part
from differing
