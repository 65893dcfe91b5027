-- title: How far the bearing slipped, if it did
-- grain: one row per corner session that can be compared and whose plate may slide
-- source: session_changes, sensitivities
-- missing: slip_* are NULL where the angles that were read cannot tell them; along a slot the other direction is bound to it
-- computed by: src/stats/tables, written as its rows come
-- given whole: sensitivities
-- Generalised least squares along the directions that the plate allows, with the noise of the readings and what is not known of
-- the slopes (at the size of the slip, one step of iteration); no prior on the size, so that 95 % regions hold whatever it is.
-- The variances are those of each part alone. Of a slip along the unit vector u: u'Vu with the covariance; along a slot that is the
-- variance of the one size that is estimated.
-- column chassis VARCHAR: platform code
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR
-- column visit VARCHAR: visit
-- column slip_out_mm DOUBLE [mm]: outboard
-- column slip_aft_mm DOUBLE [mm]: rearward
-- column slip_out_var_mm2 DOUBLE [mm2]: variance
-- column slip_aft_var_mm2 DOUBLE [mm2]: variance
-- column slip_cov_mm2 DOUBLE [mm2]: covariance
-- column slip_along_mm DOUBLE [mm]: along the first scale
-- column slip_across_mm DOUBLE [mm]: along the second scale, 0 for a slot
select
    chassis,
    vehicle,
    visit,
    corner,
    plate_hand,
    freedom,
    slot_out,
    slot_aft,
    low_mm,
    high_mm,
    tan_caster,
    equal_toe,
    camber_deg,
    caster_deg,
    sai_deg,
    toe_deg,
    pointer_out_mm,
    pointer_aft_mm,
    camber_var_deg2,
    caster_var_deg2,
    sai_var_deg2,
    toe_var_deg2,
    pointer_var_mm2
from session_changes
where missing is null and corner in ('FL', 'FR') and freedom in ('slot', 'plane')
