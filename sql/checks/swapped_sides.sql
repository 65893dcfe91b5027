-- title: Left and right of a visit that fit better exchanged
-- likely: the columns or rows of the left and the right front were swapped, in the whole visit or in one phase
-- mend: compare the rows of FL and FR of that visit with the sheet; exchange them and load them with --replace
-- computed by: src/stats/checks
-- explains: wrong_placement, lost_camber_sign, included_angle_jump, downweighted_moves
-- Compared on how far the angles moved with the offsets of their own side, and on what each side read in other visits. Prior
-- odds (from memory): whole visit 1 : 160, one phase 1 : 250. Where both sides are alike nothing can be told, and nothing is.
from car_corners()
order by vehicle, visit, corner
