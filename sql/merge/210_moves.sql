-- Those of them with one kit.
select slope_moves.* exclude (kit_change)
from slope_moves
where kit_change is null
