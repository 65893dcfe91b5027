-- title: A plate whose angles fit another bolt position or the other hand
-- likely: the index, the hand or the sign of the marks written down wrong, or the plate bolted in other than meant
-- mend: look at the plate; correct the index or the hand and load the rows with --replace
-- computed by: src/stats/checks
-- given whole: plates, check_spreads
-- explains: lost_camber_sign, downweighted_moves
-- Every bolt position and both hands of the pair are tried for the last placement of a corner in a visit, against what the
-- angles did within the visit and since the original mount (covariance: reading noise, slopes, pointer, change of mount).
-- Prior probabilities (from memory): another index 2 %, the other hand 0.5 %, both 0.5 %, marks with the sign lost 0.6 %. Placements that the angles cannot
-- tell apart are named together; the other hand does not show when it mirrors the move onto itself.
from car_corners()
order by vehicle, visit, corner
