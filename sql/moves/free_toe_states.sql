-- title: Moved states whose camber is at another toe than that of before and after
-- grain: one row per such state of a front corner
-- source: states, condition_changes
-- kept: as a view
-- missing: none
-- It was read without toe, while before and after tell of the move at equal toe: the tie rods were re-set, or both have toe.
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR
-- column visit VARCHAR: visit
-- column phase VARCHAR: moved
with
moved as (
    select vehicle, corner, visit, phase
    from states
    where corner in ('FL', 'FR') and phase = 'moved' and camber_deg is not null and toe_deg is null
)
select moved.vehicle, moved.corner, moved.visit, moved.phase
from moved
inner join states as before on before.vehicle = moved.vehicle and before.corner = moved.corner
    and before.visit = moved.visit and before.phase = 'before'
inner join states as after on after.vehicle = moved.vehicle and after.corner = moved.corner
    and after.visit = moved.visit and after.phase = 'after'
anti join (select * from condition_changes where from_phase = 'before' and to_phase = 'after') as changed
    on changed.vehicle = moved.vehicle and changed.corner = moved.corner and changed.visit = moved.visit
where before.chassis = after.chassis and after.camber_deg - before.camber_deg is not null
    and (after.toe_reset or after.toe_deg - before.toe_deg is not null)
    and (
        abs(after.offset_out_mm - before.offset_out_mm) > 1e-6
        or abs(after.offset_aft_mm - before.offset_aft_mm) > 1e-6
        or (after.kit is distinct from before.kit and after.offset_out_mm - before.offset_out_mm is not null)
    )
