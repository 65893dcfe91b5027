-- title: What each session did to a front corner, and the likely cause
-- grain: one row per session visit and front corner
-- source: session_changes, drift_posteriors, drift_slips, drift_rules
-- missing: changes NULL = not read before and after; p_* NULL = cannot be compared, see reason; slip_* NULL = cannot slide, or not told
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
-- column camber_change_deg DOUBLE [deg]: as read
-- column camber_equal_toe_deg DOUBLE [deg]: brought to equal toe; NULL without toe
-- column caster_change_deg DOUBLE [deg]: as read
-- column toe_change_deg DOUBLE [deg]: as read, tie rods untouched
-- column sai_change_deg DOUBLE [deg]: as read
-- column camber_judged_deg DOUBLE [deg]: by the whole record, see session_changes; at equal toe where it is known
-- column caster_judged_deg DOUBLE [deg]: by the whole record
-- column toe_judged_deg DOUBLE [deg]: by the whole record
-- column sai_judged_deg DOUBLE [deg]: by the whole record
-- column camber_std_error_deg DOUBLE [deg]: of the change that is judged
-- column caster_std_error_deg DOUBLE [deg]: of the change that is judged
-- column toe_std_error_deg DOUBLE [deg]: of the change that is judged
-- column sai_std_error_deg DOUBLE [deg]: of the change that is judged
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
with
judged as (
    select
        corners.vehicle,
        corners.chassis,
        corners.corner,
        corners.visit,
        corners.session,
        corners.sessions,
        corners.after_visit,
        corners.measured_ts,
        corners.ordered_ts,
        corners.kit,
        corners.plate_hand,
        corners.plate_index,
        corners.camber_read_deg as camber_change_deg,
        case when equal_toe then corners.camber_deg end as camber_equal_toe_deg,
        corners.caster_read_deg as caster_change_deg,
        corners.toe_read_deg as toe_change_deg,
        corners.sai_read_deg as sai_change_deg,
        corners.camber_deg as camber_judged_deg,
        corners.caster_deg as caster_judged_deg,
        corners.toe_deg as toe_judged_deg,
        corners.sai_deg as sai_judged_deg,
        case when corners.camber_deg is not null then sqrt(camber_var_deg2) end as camber_std_error_deg,
        case when corners.caster_deg is not null then sqrt(caster_var_deg2) end as caster_std_error_deg,
        case when corners.toe_deg is not null then sqrt(toe_var_deg2) end as toe_std_error_deg,
        case when corners.sai_deg is not null then sqrt(sai_var_deg2) end as sai_std_error_deg,
        slip_out_mm,
        sqrt(slip_out_var_mm2) as slip_out_std_error_mm,
        slip_aft_mm,
        sqrt(slip_aft_var_mm2) as slip_aft_std_error_mm,
        slip_cov_mm2,
        corners.freedom,
        -slip_along_mm / pitch_mm as mark_1_back,
        case when corners.freedom = 'plane' then -slip_across_mm / pitch_mm end as mark_2_back,
        p_held,
        -- Without a plate there is only the tower.
        case when p_held is not null and kit is null then 0
            else p_plate_slipped + posteriors.p_mount_moved end as p_plate_moved,
        p_spindle_bent + p_strut_bent as p_bent,
        greatest(1 - p_held - p_plate_moved - p_bent, 0) as p_other,
        p_plate_slipped,
        case when corners.freedom <> 'plane' then posteriors.p_mount_moved end as p_mount_moved,
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
        case when p_held >= min_held then 'held' else 'unclear' end as verdict,
        posteriors.cause,
        p_cause,
        next_cause,
        corners.caster_deg is not null as has_caster,
        corners.toe_deg is not null as has_toe,
        corners.sai_deg is not null as has_sai,
        rears.visit is not null as has_rears,
        other_var is not null as has_other_front,
        greatest(p_plate_moved, p_bent, 1 - p_held - p_plate_moved - p_bent) as p_class,
        -- Something moved, and its class is sure by itself, from more than camber alone.
        coalesce(
            1 - p_held >= min_moved
                and p_class >= min_class * (1 - p_held)
                and coalesce(corners.caster_deg, corners.toe_deg, corners.sai_deg) is not null,
            false
        ) as may_be_named,
        case when 1 - p_held >= min_moved then 1 - p_class else 1 - p_held end as p_wrong,
        corners.missing as reason
    from (select * from session_changes where corner in ('FL', 'FR')) as corners
    cross join drift_rules
    left join (
        select vehicle, visit, corner as other_corner, camber_var_deg2 as other_var from session_changes
        where corner in ('FL', 'FR')
    ) as other on other.vehicle = corners.vehicle and other.visit = corners.visit and other_corner <> corners.corner
    left join (
        select distinct vehicle, visit from session_changes where corner in ('RL', 'RR') and camber_deg is not null
    ) as rears on rears.vehicle = corners.vehicle and rears.visit = corners.visit
    left join drift_posteriors as posteriors
        on posteriors.vehicle = corners.vehicle and posteriors.corner = corners.corner
        and posteriors.visit = corners.visit
    left join drift_slips on drift_slips.vehicle = corners.vehicle and drift_slips.corner = corners.corner
        and drift_slips.visit = corners.visit
),
controlled as (
    select
        p_class,
        avg(p_wrong) over (order by p_class desc range between unbounded preceding and current row) as share_wrong
    from judged
    where may_be_named
),
cut as (
    select min(p_class) as least_p_class
    from controlled
    cross join drift_rules
    where share_wrong <= false_discovery_rate
)
select
    * exclude (p_class, may_be_named, least_p_class) replace (
        case
            when may_be_named and p_class >= least_p_class
            then case p_class when p_plate_moved then 'plate_moved' when p_bent then 'bent' else 'other' end
            else verdict
        end as verdict
    )
from judged
cross join cut
