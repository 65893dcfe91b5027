-- title: What moves leave over on most chassis
-- grain: one row per response with moves
-- source: check_shares, slope_scales
-- missing: none
-- Median of the chassis, on a grid of sixteenths of an octave (at most 2.2 % off), so that new readings of one chassis seldom change
-- it for the others.
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column typical_var_deg2 DOUBLE [deg2]: variance of one reading, seen against other states of its visit
select response, octave_grid(median(power(typical_scale_deg, 2) / 2 / share), 16) as typical_var_deg2
from slope_scales
inner join check_shares using (chassis, response)
group by response
