-- title: Marginal likelihoods of the causes of drift, by session
-- grain: one row per session visit with a front that can be compared
-- source: session_changes, sensitivities
-- missing: lists of a front are NULL where it cannot be compared, and then it counts as held and adds nothing
-- computed by: src/stats/tables, written as its rows come
-- given whole: sensitivities
-- Sizes, slopes' uncertainty, ways of the rears and angles not read are integrated out. Without a cause on the car the fronts are
-- independent; with one, both fronts and the rears are taken together, and at most one front has slipped besides. Relative to the
-- likeliest without a cause on the car, or, where a visit is far from everything, to what it cannot exceed, so that no number overflows.
-- column chassis VARCHAR: platform code
-- column vehicle VARCHAR: one car
-- column visit VARCHAR: visit
-- column front_count INTEGER: fronts that can be compared
-- column none DOUBLE: no cause on the car, of the likeliest causes on the fronts
-- column left_alone DOUBLE[]: of each cause and size class on the left front, in the order of drift_odds
-- column right_alone DOUBLE[]: on the right front
-- column both_held DOUBLE[]: of each cause on the car, in the order of drift_odds, while the fronts held
-- column left_slips DOUBLE[]: of each cause on the car and size class of a slip of the left front besides
-- column right_slips DOUBLE[]: of the right front
select
    chassis,
    vehicle,
    visit,
    corner,
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
    pointer_var_mm2,
    parts,
    held_log,
    height_mm,
    height_var_mm2
from session_changes
where missing is null
order by vehicle, visit, corner
