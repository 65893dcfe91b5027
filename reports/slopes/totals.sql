-- One row: how much there is to go by.
select
    (select count(distinct chassis) from slopes) as chassis_count,
    count(distinct moves.chassis) as moved_chassis_count,
    count(distinct moves.vehicle) as vehicle_count,
    count(distinct (moves.vehicle, corner, visit, from_phase, to_phase)) as move_count,
    count(*) as change_count,
    (select count(*) from move_fits where robust_weight < 0.5) as downweighted_count
from moves
