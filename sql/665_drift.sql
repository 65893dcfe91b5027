-- title: What each session did to a front corner, and the likely cause
-- grain: one row per session visit and front corner
-- source: drift_corners, drift_rules, drift_cut
-- kept: as a view
-- missing: changes NULL = not read before and after; p_* NULL = cannot be compared, see reason; slip_* NULL = cannot slide, or not told
-- Verdict: something moved where that is likelier than drift_rules.min_moved, and the class is named where it holds at least
-- min_class of what moved; from camber alone no class is named. Many corners are judged at once: a class less sure than drift_cut, which
-- keeps the share of wrong ones within false_discovery_rate, is unclear. Held needs min_held.
-- column vehicle VARCHAR: one car
-- column chassis VARCHAR: platform code
-- column corner VARCHAR: FL FR
-- column visit VARCHAR: visit
-- column session VARCHAR: the running that the visit encloses
-- column measured_ts TIMESTAMP: when the corner was read after the session, local wall time
-- column ordered_ts TIMESTAMP: for the order of the car's sessions, see states
-- column kit VARCHAR: NULL = original mount
-- column plate_hand VARCHAR: left right
-- column plate_index INTEGER: bolt position
-- column camber_change_deg DOUBLE [deg]: as read
-- column camber_equal_toe_deg DOUBLE [deg]: brought to equal toe; NULL without toe
-- column caster_change_deg DOUBLE [deg]: change
-- column toe_change_deg DOUBLE [deg]: change, tie rods untouched
-- column sai_change_deg DOUBLE [deg]: change
-- column camber_std_error_deg DOUBLE [deg]: of the change that is compared
-- column caster_std_error_deg DOUBLE [deg]: of the change
-- column toe_std_error_deg DOUBLE [deg]: of the change
-- column sai_std_error_deg DOUBLE [deg]: of the change
-- column slip_out_mm DOUBLE [mm]: if the bearing slipped, outboard
-- column slip_out_std_error_mm DOUBLE [mm]: standard error of this part alone
-- column slip_aft_mm DOUBLE [mm]: if the bearing slipped, rearward
-- column slip_aft_std_error_mm DOUBLE [mm]: standard error of this part alone
-- column slip_cov_mm2 DOUBLE [mm2]: covariance; the standard error along the slip, as it is printed, is sqrt(u'Vu), u = its direction
-- column freedom VARCHAR: slot plane none; see session_corners
-- column mark_1_back DOUBLE [marks]: marks on the first scale that would undo the slip
-- column mark_2_back DOUBLE [marks]: on the second scale, NULL without one
-- column p_held DOUBLE: nothing moved
-- column p_plate_moved DOUBLE: bearing in its plate, or plate on its tower
-- column p_bent DOUBLE: strut, knuckle or spindle
-- column p_other DOUBLE: anything else
-- column p_plate_slipped DOUBLE: bearing in its plate
-- column p_mount_moved DOUBLE: plate on its tower, or tower; NULL where a slip in a plane cannot be told from it
-- column p_spindle_bent DOUBLE: knuckle or spindle
-- column p_strut_bent DOUBLE: strut, or strut-to-knuckle bolts
-- column p_tie_rod_turned DOUBLE: tie rod
-- column p_lower_arm_moved DOUBLE: lower arm, bracket or bush
-- column p_misread DOUBLE: one wrong reading
-- column p_unexplained DOUBLE: no known pattern
-- column p_cradle_moved DOUBLE: cradle
-- column p_reference_rolled DOUBLE: floor or reference
-- column p_gauge_zero DOUBLE: zero of the gauge, or rake
-- column p_steering_off DOUBLE: steering not straight
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
    measured_ts,
    ordered_ts,
    kit,
    plate_hand,
    plate_index,
    camber_change_deg,
    camber_equal_toe_deg,
    caster_change_deg,
    toe_change_deg,
    sai_change_deg,
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
    p_held,
    p_plate_moved,
    p_bent,
    p_other,
    p_plate_slipped,
    p_mount_moved,
    p_spindle_bent,
    p_strut_bent,
    p_tie_rod_turned,
    p_lower_arm_moved,
    p_misread,
    p_unexplained,
    p_cradle_moved,
    p_reference_rolled,
    p_gauge_zero,
    p_steering_off,
    case
        when p_held is null then 'unclear'
        when may_be_named and corners.p_class >= drift_cut.p_class
            then case corners.p_class when p_plate_moved then 'plate_moved' when p_bent then 'bent' else 'other' end
        when p_held >= min_held then 'held'
        else 'unclear'
    end as verdict,
    cause,
    p_cause,
    next_cause,
    has_caster,
    has_toe,
    has_sai,
    has_rears,
    has_other_front,
    p_wrong,
    reason
from drift_corners as corners
cross join drift_rules
cross join drift_cut
