-- title: Probabilities of what happened to a front corner over a session
-- grain: one row per corner session that can be compared
-- source: session_likelihoods, drift_odds
-- missing: none; p_* sum to 1
-- A cause on the car counts where this front held under it; where it slipped besides, the slip counts.
-- column chassis VARCHAR: platform code
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR
-- column visit VARCHAR: visit
-- column p_held DOUBLE: nothing moved
-- column p_plate_slipped DOUBLE: bearing in its plate
-- column p_mount_moved DOUBLE: plate on its tower, or tower
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
-- column cause VARCHAR: likeliest cause, see drift_causes
-- column p_cause DOUBLE: its probability
-- column next_cause VARCHAR: the one after it
with
shares as (
    select
        list(share order by place) filter (where level = 'corner') as corner_shares,
        list(share order by place) filter (where level = 'car') as car_shares,
        list(share order by place) filter (where cause = 'plate_slipped') as slips,
        list(case cause when 'held' then share else 0 end order by place) filter (where level = 'corner') as held,
        list(case cause when 'plate_slipped' then share else 0 end order by place) filter (where level = 'corner') as plate_slipped,
        list(case cause when 'mount_moved' then share else 0 end order by place) filter (where level = 'corner') as mount_moved,
        list(case cause when 'spindle_bent' then share else 0 end order by place) filter (where level = 'corner') as spindle_bent,
        list(case cause when 'strut_bent' then share else 0 end order by place) filter (where level = 'corner') as strut_bent,
        list(case cause when 'tie_rod_turned' then share else 0 end order by place) filter (where level = 'corner') as tie_rod_turned,
        list(case cause when 'lower_arm_moved' then share else 0 end order by place) filter (where level = 'corner') as lower_arm_moved,
        list(case cause when 'misread' then share else 0 end order by place) filter (where level = 'corner') as misread,
        list(case cause when 'unexplained' then share else 0 end order by place) filter (where level = 'corner') as unexplained,
        list(case cause when 'cradle_moved' then share else 0 end order by place) filter (where level = 'car' and cause <> 'none') as cradle_moved,
        list(case cause when 'reference_rolled' then share else 0 end order by place) filter (where level = 'car' and cause <> 'none') as reference_rolled,
        list(case cause when 'gauge_zero' then share else 0 end order by place) filter (where level = 'car' and cause <> 'none') as gauge_zero,
        list(case cause when 'steering_off' then share else 0 end order by place) filter (where level = 'car' and cause <> 'none') as steering_off
    from drift_odds
),
odds as (
    select
        shares,
        flatten([[car * slip for slip in slips] for car in car_shares[2:]]) as slip_shares,
        flatten([[car * slip for slip in slips] for car in shares.cradle_moved]) as cradle_moved_slips,
        flatten([[car * slip for slip in slips] for car in shares.reference_rolled]) as reference_rolled_slips,
        flatten([[car * slip for slip in slips] for car in shares.gauge_zero]) as gauge_zero_slips,
        flatten([[car * slip for slip in slips] for car in shares.steering_off]) as steering_off_slips
    from shares
),
weighed as (
    select
        likelihoods.*,
        odds,
        list_inner_product(left_alone, shares.corner_shares) as left_sum,
        list_inner_product(right_alone, shares.corner_shares) as right_sum,
        shares.car_shares[1] * none * coalesce(left_sum, 1) * coalesce(right_sum, 1) as none_weight,
        case when front_count = 2 then shares.corner_shares[1] else 1 end as beside,
        none_weight + beside * (
            shares.corner_shares[1] * list_inner_product(both_held, shares.car_shares[2:])
            + coalesce(list_inner_product(left_slips, slip_shares), 0)
            + coalesce(list_inner_product(right_slips, slip_shares), 0)
        ) as total
    from session_likelihoods as likelihoods
    cross join odds
),
sides as (
    select *, 'FL' as corner, left_alone as alone, left_sum as own_sum, left_slips as own_slips, right_slips as other_slips
    from weighed
    where left_alone is not null
    union all
    select *, 'FR' as corner, right_alone as alone, right_sum as own_sum, right_slips as own_slips, left_slips as other_slips
    from weighed
    where right_alone is not null
),
judged as (
    select
        chassis,
        vehicle,
        corner,
        visit,
        none_weight / own_sum / total * list_inner_product(alone, odds.shares.held) as p_held,
        none_weight / own_sum / total * list_inner_product(alone, odds.shares.plate_slipped)
            + beside / total * coalesce(list_inner_product(own_slips, odds.slip_shares), 0) as p_plate_slipped,
        none_weight / own_sum / total * list_inner_product(alone, odds.shares.mount_moved) as p_mount_moved,
        none_weight / own_sum / total * list_inner_product(alone, odds.shares.spindle_bent) as p_spindle_bent,
        none_weight / own_sum / total * list_inner_product(alone, odds.shares.strut_bent) as p_strut_bent,
        none_weight / own_sum / total * list_inner_product(alone, odds.shares.tie_rod_turned) as p_tie_rod_turned,
        none_weight / own_sum / total * list_inner_product(alone, odds.shares.lower_arm_moved) as p_lower_arm_moved,
        none_weight / own_sum / total * list_inner_product(alone, odds.shares.misread) as p_misread,
        none_weight / own_sum / total * list_inner_product(alone, odds.shares.unexplained) as p_unexplained,
        beside / total * (
            odds.shares.corner_shares[1] * list_inner_product(both_held, odds.shares.cradle_moved)
            + coalesce(list_inner_product(other_slips, odds.cradle_moved_slips), 0)
        ) as p_cradle_moved,
        beside / total * (
            odds.shares.corner_shares[1] * list_inner_product(both_held, odds.shares.reference_rolled)
            + coalesce(list_inner_product(other_slips, odds.reference_rolled_slips), 0)
        ) as p_reference_rolled,
        beside / total * (
            odds.shares.corner_shares[1] * list_inner_product(both_held, odds.shares.gauge_zero)
            + coalesce(list_inner_product(other_slips, odds.gauge_zero_slips), 0)
        ) as p_gauge_zero,
        beside / total * (
            odds.shares.corner_shares[1] * list_inner_product(both_held, odds.shares.steering_off)
            + coalesce(list_inner_product(other_slips, odds.steering_off_slips), 0)
        ) as p_steering_off
    from sides
),
listed as (
    select
        *,
        ['cradle_moved', 'gauge_zero', 'held', 'lower_arm_moved', 'misread', 'mount_moved', 'plate_slipped', 'reference_rolled', 'spindle_bent', 'steering_off', 'strut_bent', 'tie_rod_turned', 'unexplained'] as causes,
        [p_cradle_moved, p_gauge_zero, p_held, p_lower_arm_moved, p_misread, p_mount_moved, p_plate_slipped, p_reference_rolled, p_spindle_bent, p_steering_off, p_strut_bent, p_tie_rod_turned, p_unexplained] as probabilities
    from judged
),
ranked as (
    select *, list_max(probabilities) as p_cause, list_position(probabilities, list_max(probabilities)) as place from listed
),
without_first as (
    select *, probabilities[:place - 1] || [cast(-1 as double)] || probabilities[place + 1:] as others from ranked
)
select
    chassis,
    vehicle,
    corner,
    visit,
    p_held,
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
    causes[place] as cause,
    p_cause,
    causes[list_position(others, list_max(others))] as next_cause
from without_first
