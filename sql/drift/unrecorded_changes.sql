-- title: Fronts that moved though nothing ran, or other than their pointers say
-- grain: one row per front corner and rest between two of its states after which a part of it likely moved, or had been put right
-- source: session_changes, drift_odds, drift_rules
-- missing: slip_* NULL = cannot slide, or not told; changes NULL = an angle tells nothing of one side
-- computed by: src/stats/tables
-- given whole: drift_odds, drift_rules
-- Judged as a session is, see drift, at the odds that a corner moves where nothing runs (0.03) or while it is set (0.05; common practice,
-- no source), shared among the causes as over sessions; causes on the car, most of which lie in the measuring, have the odds of sessions.
-- A class is named by drift_rules.min_class, without the rule for many at once. Put right: that the corner stands as before the run
-- before is likelier than that it held since, and than that it moved anew; of what is on the whole car, on either front.
-- column vehicle VARCHAR: one car
-- column chassis VARCHAR: platform code
-- column corner VARCHAR: FL FR
-- column disturbance VARCHAR: transport (nothing ran, and nothing was set by the pointers), adjustment (set by the pointers, or in an install or adjust visit)
-- column before_visit VARCHAR: visit of the state before it
-- column visit VARCHAR: visit of the state after it
-- column phase VARCHAR: phase of the state after it
-- column measured_ts TIMESTAMP: when the corner was read after it, local wall time
-- column ordered_ts TIMESTAMP: for the order of the car's states, see states
-- column kit VARCHAR: NULL = original mount
-- column plate_hand VARCHAR: left right
-- column plate_index INTEGER: bolt position
-- column set_out_mm DOUBLE [mm]: of an adjustment, what the pointers say was set, outboard; NULL where they stand as before
-- column set_aft_mm DOUBLE [mm]: rearward
-- column camber_judged_deg DOUBLE [deg]: change by the whole record, what was set taken off; at equal toe where equal_toe
-- column caster_judged_deg DOUBLE [deg]: by the whole record, what was set taken off
-- column toe_judged_deg DOUBLE [deg]: by the whole record, what was set taken off; NULL where tie rods were turned
-- column sai_judged_deg DOUBLE [deg]: by the whole record, what was set taken off
-- column camber_std_error_deg DOUBLE [deg]: of the change that is judged
-- column caster_std_error_deg DOUBLE [deg]: of the change that is judged
-- column toe_std_error_deg DOUBLE [deg]: of the change that is judged
-- column sai_std_error_deg DOUBLE [deg]: of the change that is judged
-- column equal_toe BOOLEAN: camber is compared at equal toe
-- column slip_out_mm DOUBLE [mm]: how far the bearing stands off where it was left, or off where the pointers have it, if it moved in its plate: outboard
-- column slip_out_std_error_mm DOUBLE [mm]: standard error of this part alone
-- column slip_aft_mm DOUBLE [mm]: rearward
-- column slip_aft_std_error_mm DOUBLE [mm]: standard error of this part alone
-- column slip_cov_mm2 DOUBLE [mm2]: their covariance
-- column freedom VARCHAR: slot plane none; see session_changes
-- column p_held DOUBLE: nothing moved, at the odds of a corner that had not moved before
-- column p_plate_moved DOUBLE: bearing in its plate, or plate on its tower
-- column p_bent DOUBLE: strut, knuckle or spindle, or two parts at once
-- column p_other DOUBLE: anything else, wrong measuring included
-- column p_put_right DOUBLE: what moved over the run before it was put right without a record
-- column verdict VARCHAR: put_right plate_moved bent other unclear
-- column cause VARCHAR: likeliest cause, see drift_causes; what lies in the measuring only where it was put right
-- column p_cause DOUBLE: its probability
-- column next_cause VARCHAR: the one after it
select
    vehicle,
    chassis,
    corner,
    disturbance,
    before_visit,
    visit,
    phase,
    cast(epoch_us(measured_ts) as double) as measured_ts,
    cast(epoch_us(ordered_ts) as double) as ordered_ts,
    kit,
    plate_hand,
    plate_index,
    set_out_mm,
    set_aft_mm,
    camber_judged_deg,
    caster_judged_deg,
    toe_judged_deg,
    sai_judged_deg,
    camber_std_error_deg,
    caster_std_error_deg,
    toe_std_error_deg,
    sai_std_error_deg,
    equal_toe,
    slip_out_mm,
    slip_out_std_error_mm,
    slip_aft_mm,
    slip_aft_std_error_mm,
    slip_cov_mm2,
    freedom,
    p_put_right,
    none,
    alone,
    both_held,
    slips
from session_changes
where disturbance <> 'session'
order by vehicle, visit, phase, corner
