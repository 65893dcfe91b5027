-- title: Camber that fits only with the other sign
-- likely: the minus sign of a camber was lost, or one was added
-- mend: compare the camber of these rows with the sheet; correct the sign and load them with --replace
-- computed by: src/stats/checks
-- given whole: check_spreads
-- explains: included_angle_jump, downweighted_moves
-- Tried per corner and visit: all phases, or one, with the sign reversed, against the camber change that the offsets allow, and
-- against the corner's other visits or, without any, the other side of the car. Prior odds (from memory): all phases 1 : 250,
-- one phase 1 : 250; one grossly wrong comparison in ten is allowed for.
from car_corners()
order by vehicle, visit, corner
