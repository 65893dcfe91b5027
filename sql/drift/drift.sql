-- title: What each session did to a front corner, and the likely cause
-- grain: one row per session visit and front corner
-- source: session_changes, drift_odds, drift_rules
-- missing: changes NULL = not read before and after; p_* NULL = cannot be compared, see reason; slip_* NULL = cannot slide, or not told
-- computed by: src/stats/tables, written as its rows come
-- given whole: drift_odds, drift_rules
-- A cause on the car counts where this front held under it; where it slipped besides, the slip counts.
-- Verdict: something moved where that is likelier than drift_rules.min_moved, and the class is named where it holds at least
-- min_class of what moved; from camber alone no class is named. Held needs min_held. Many corners are judged at once: classes that may be
-- named are taken from the surest down while the mean probability that one is wrong stays within false_discovery_rate (Bayesian false
-- discovery rate; Newton, Noueiry, Sarkar and Ahlquist 2004, Biostatistics 5, 155-176; from memory), equal ones together; the
-- others are unclear.
-- column vehicle VARCHAR: one car
-- column chassis VARCHAR: platform code
-- column corner VARCHAR: FL FR
-- column visit VARCHAR: visit
-- column session VARCHAR: the running that the visit encloses
-- column sessions VARCHAR: all runs between the two readings, see session_changes
-- column after_visit VARCHAR: visit of the state after the session; NULL = this visit
-- column measured_ts TIMESTAMP: when the corner was read after the session, local wall time
-- column ordered_ts TIMESTAMP: for the order of the car's sessions, see states
-- column kit VARCHAR: NULL = original mount
-- column plate_hand VARCHAR: left right
-- column plate_index INTEGER: bolt position
-- column camber_change_deg DOUBLE [deg]: after minus before, as read
-- column camber_equal_toe_deg DOUBLE [deg]: change of camber brought to equal toe; NULL without toe
-- column caster_change_deg DOUBLE [deg]: after minus before, as read
-- column toe_change_deg DOUBLE [deg]: after minus before, as read; NULL where tie rods were turned
-- column sai_change_deg DOUBLE [deg]: after minus before, as read
-- column camber_judged_deg DOUBLE [deg]: by the whole record, see session_changes; at equal toe where it is known
-- column caster_judged_deg DOUBLE [deg]: by the whole record
-- column toe_judged_deg DOUBLE [deg]: by the whole record
-- column sai_judged_deg DOUBLE [deg]: by the whole record
-- column camber_std_error_deg DOUBLE [deg]: of the change that is judged
-- column caster_std_error_deg DOUBLE [deg]: of the change that is judged
-- column toe_std_error_deg DOUBLE [deg]: of the change that is judged
-- column sai_std_error_deg DOUBLE [deg]: of the change that is judged
-- column slip_out_mm DOUBLE [mm]: if the bearing slipped: outboard; along the slot where the plate has one
-- column slip_out_std_error_mm DOUBLE [mm]: standard error of the outboard part alone; words give that along the slip, which takes slip_cov_mm2 too
-- column slip_aft_mm DOUBLE [mm]: if the bearing slipped, rearward
-- column slip_aft_std_error_mm DOUBLE [mm]: standard error of this part alone
-- column slip_cov_mm2 DOUBLE [mm2]: covariance; the standard error along the slip, as it is printed, is sqrt(u'Vu), u = its direction
-- column freedom VARCHAR: slot plane none; see session_changes
-- column mark_1_back DOUBLE [marks]: marks on the first scale that would undo the slip
-- column mark_2_back DOUBLE [marks]: on the second scale, NULL without one
-- column p_held DOUBLE: nothing moved; NULL = cannot be compared, see reason
-- column p_plate_moved DOUBLE: bearing in its plate, or plate on its tower
-- column p_bent DOUBLE: strut, knuckle or spindle, or two parts at once
-- column p_other DOUBLE: anything else, wrong measuring included
-- column p_plate_slipped DOUBLE: bearing in its plate
-- column p_mount_moved DOUBLE: plate on its tower, or tower; NULL where a slip in a plane cannot be told from it
-- column p_spindle_bent DOUBLE: knuckle or spindle
-- column p_strut_bent DOUBLE: strut, or strut-to-knuckle bolts
-- column p_struck DOUBLE: two parts at once
-- column p_tie_rod_turned DOUBLE: tie rod
-- column p_lower_arm_moved DOUBLE: lower arm, bracket or bush
-- column p_misread DOUBLE: one wrong reading
-- column p_unexplained DOUBLE: no known pattern
-- column p_cradle_moved DOUBLE: cradle
-- column p_reference_rolled DOUBLE: floor or reference
-- column p_gauge_zero DOUBLE: zero of the gauge, or rake
-- column p_steering_off DOUBLE: steering not straight
-- column p_attitude_changed DOUBLE: ride height, load or tyre pressure
-- column verdict VARCHAR: held plate_moved bent other unclear
-- column cause VARCHAR: likeliest cause, see drift_causes
-- column p_cause DOUBLE: its probability
-- column next_cause VARCHAR: the one after it
-- column has_caster BOOLEAN: read before and after
-- column has_toe BOOLEAN: read before and after, tie rods untouched
-- column has_sai BOOLEAN: read before and after
-- column has_rears BOOLEAN: a rear's camber was read before and after
-- column has_other_front BOOLEAN: the other front's camber was read before and after
-- column p_wrong DOUBLE: probability that the class named is wrong, or would be
-- column reason VARCHAR: why the corner cannot be compared
select
    vehicle,
    chassis,
    corner,
    visit,
    session,
    sessions,
    after_visit,
    kit,
    plate_hand,
    plate_index,
    camber_change_deg,
    camber_equal_toe_deg,
    caster_change_deg,
    toe_change_deg,
    sai_change_deg,
    camber_judged_deg,
    caster_judged_deg,
    toe_judged_deg,
    sai_judged_deg,
    camber_std_error_deg,
    caster_std_error_deg,
    toe_std_error_deg,
    sai_std_error_deg,
    slip_out_mm,
    slip_out_std_error_mm,
    slip_aft_mm,
    slip_aft_std_error_mm,
    slip_cov_mm2,
    freedom,
    mark_1_back,
    mark_2_back,
    has_rears,
    has_other_front,
    cast(epoch_us(measured_ts) as double) as measured_ts,
    cast(epoch_us(ordered_ts) as double) as ordered_ts,
    none,
    alone,
    both_held,
    slips,
    missing,
    phase
from session_changes
where disturbance = 'session'
order by vehicle, visit, phase, corner
