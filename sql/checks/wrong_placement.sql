-- title: A plate whose angles fit another bolt position or the other hand
-- likely: plate_index, plate_hand or the sign of the marks written down wrong, or the plate bolted in other than meant
-- mend: look at the plate; correct plate_index or plate_hand and load the rows with --replace
-- explains: lost_camber_sign, downweighted_moves
-- Every bolt position and both hands of the pair are tried for the last placement of a corner in a visit, against what the
-- angles did within the visit and since the original mount (covariance: reading noise, slopes, pointer, change of mount).
-- Prior probabilities (from memory): another index 2 %, the other hand 0.5 %, both 0.5 %, marks with the sign lost 0.6 %. Placements that the angles cannot
-- tell apart are named together; the other hand does not show when it mirrors the move onto itself.
with
recorded as (
    select
        states.chassis,
        states.vehicle,
        states.corner,
        states.visit,
        phase,
        phase_order,
        kit,
        plate_index,
        plate_hand,
        mark_1,
        mark_2,
        offset_out_mm,
        offset_aft_mm,
        case when corner = 'FL' then 'left' else 'right' end as own_hand,
        plates.* exclude (kit, chassis)
    from states
    inner join plates using (kit)
    where (plates.chassis = states.chassis or plates.chassis is null)
        and plate_index is not null and mark_1 is not null and corner in ('FL', 'FR')
    qualify row_number() over (partition by vehicle, corner, visit, phase order by plates.chassis is null) = 1
),
-- A place that was measured directly does not follow from index and hand.
by_marks as (
    select *
    from recorded
    where abs(
        plate_offset(
            mark_1, coalesce(mark_2, 0), pitch_mm, axis_deg, centre_out_mm, centre_aft_mm,
            (plate_index - 1) * index_step_deg, plate_hand <> own_hand
        ).out_mm - offset_out_mm
    ) < 1e-3
),
last_placements as (
    select *
    from by_marks
    qualify row_number() over (partition by vehicle, corner, visit order by phase_order desc) = 1
),
candidates as (
    select
        vehicle,
        corner,
        visit,
        phase as last_phase,
        kit as last_kit,
        plate_index as last_index,
        plate_hand as last_hand,
        index_count,
        tried_index,
        tried_hand,
        tried_sign,
        tried_index = plate_index and tried_hand = plate_hand and tried_sign = 1 as as_written,
        case
            when tried_sign < 0 then 0.006
            when tried_index = plate_index and tried_hand = plate_hand then 0.964
            when tried_index = plate_index then 0.005
            when tried_hand = plate_hand then 0.02 / (index_count - 1)
            else 0.005 / (index_count - 1)
        end as prior
    from last_placements
    cross join unnest(range(1, cast(index_count as bigint) + 1)) as indices(tried_index)
    cross join (values ('left'), ('right')) as hands(tried_hand)
    cross join (values (1), (-1)) as signs(tried_sign)
    where tried_sign = 1 or (tried_index = plate_index and tried_hand = plate_hand)
),
-- The states of the visit, and what other visits read on the original mount as one state more ahead of them.
original_mounts as (
    select
        vehicle,
        corner,
        visit,
        response,
        exact_mean(read_deg + toe_part_deg) as angle_deg,
        exact_mean(read_var_deg2) / count(*) as read_var_deg2
    from check_states
    where corner in ('FL', 'FR') and kit is null and offset_out_mm = 0 and offset_aft_mm = 0
    group by vehicle, corner, visit, response
),
visit_states as (
    select
        vehicle,
        corner,
        visit,
        phase,
        phase_order,
        kit,
        response,
        read_deg + toe_part_deg as angle_deg,
        read_var_deg2,
        offset_out_mm,
        offset_aft_mm,
        check_states as slopes,
        mount_var_deg2
    from check_states
    where offset_out_mm is not null and corner in ('FL', 'FR')
),
earlier_visits as (
    select
        last_states.vehicle,
        last_states.corner,
        last_states.visit,
        'other visits' as phase,
        0 as phase_order,
        cast(null as varchar) as kit,
        last_states.response,
        exact_mean(original_mounts.angle_deg) as angle_deg,
        (exact_mean(original_mounts.read_var_deg2) + any_value(last_states.slopes.visit_var_deg2)) / count(*)
            + any_value(last_states.slopes.visit_var_deg2) as read_var_deg2,
        cast(0 as double) as offset_out_mm,
        cast(0 as double) as offset_aft_mm,
        any_value(last_states.slopes) as slopes,
        any_value(last_states.mount_var_deg2) as mount_var_deg2
    from visit_states as last_states
    inner join last_placements using (vehicle, corner, visit, phase)
    inner join original_mounts
        on original_mounts.vehicle = last_states.vehicle
        and original_mounts.corner = last_states.corner
        and original_mounts.response = last_states.response
        and original_mounts.visit <> last_states.visit
    group by last_states.vehicle, last_states.corner, last_states.visit, last_states.response
),
tried as (
    select
        angles.*,
        last_phase,
        tried_index,
        tried_hand,
        tried_sign,
        by_marks.kit is not null as is_tried,
        case
            when by_marks.kit is null then {'out_mm': angles.offset_out_mm, 'aft_mm': angles.offset_aft_mm}
            else plate_offset(
                tried_sign * mark_1, tried_sign * coalesce(mark_2, 0), pitch_mm, axis_deg, centre_out_mm, centre_aft_mm,
                (tried_index - 1) * index_step_deg, tried_hand <> own_hand
            )
        end as place
    from (select * from visit_states union all by name select * from earlier_visits) as angles
    inner join candidates using (vehicle, corner, visit)
    left join by_marks
        on by_marks.vehicle = angles.vehicle
        and by_marks.corner = angles.corner
        and by_marks.visit = angles.visit
        and by_marks.phase = angles.phase
        and by_marks.kit = last_kit
        and by_marks.plate_index = last_index
        and by_marks.plate_hand = last_hand
),
comparisons as (
    select
        later.vehicle,
        later.corner,
        later.visit,
        later.tried_index,
        later.tried_hand,
        later.tried_sign,
        earlier.phase as from_phase,
        later.phase as to_phase,
        later.response,
        later.angle_deg - earlier.angle_deg
            - later.slopes.slope_out * (later.place.out_mm - earlier.place.out_mm)
            - later.slopes.slope_aft * (later.place.aft_mm - earlier.place.aft_mm) as residual_deg,
        later.read_var_deg2
            + earlier.read_var_deg2
            + case when later.kit is distinct from earlier.kit then later.mount_var_deg2 else 0 end
            + predicted_var(
                later.slopes,
                later.place.out_mm - earlier.place.out_mm,
                later.place.aft_mm - earlier.place.aft_mm,
                later.slopes.read_error_oo_mm2 + earlier.slopes.read_error_oo_mm2,
                later.slopes.read_error_oa_mm2 + earlier.slopes.read_error_oa_mm2,
                later.slopes.read_error_aa_mm2 + earlier.slopes.read_error_aa_mm2
            ) as residual_var
    from tried as later
    inner join tried as earlier
        on earlier.vehicle = later.vehicle
        and earlier.corner = later.corner
        and earlier.visit = later.visit
        and earlier.response = later.response
        and earlier.tried_index = later.tried_index
        and earlier.tried_hand = later.tried_hand
        and earlier.tried_sign = later.tried_sign
        and earlier.phase_order < later.phase_order
    where (later.is_tried or earlier.is_tried) and (earlier.phase_order > 0 or later.phase = later.last_phase)
),
by_pair as (
    select
        vehicle,
        corner,
        visit,
        tried_index,
        tried_hand,
        tried_sign,
        from_phase,
        to_phase,
        log_mixed(
            sum(log_normal(residual_deg, residual_var) order by response),
            sum(log_gross(residual_deg, residual_var) order by response)
        ) as log_likelihood
    from comparisons
    group by vehicle, corner, visit, tried_index, tried_hand, tried_sign, from_phase, to_phase
),
-- Three pairs of three states hold the information of two.
by_placement as (
    select
        vehicle,
        corner,
        visit,
        tried_index,
        tried_hand,
        tried_sign,
        coalesce(sum(log_likelihood order by from_phase, to_phase) filter (where from_phase = 'other visits'), 0)
            + coalesce(sum(log_likelihood order by from_phase, to_phase) filter (where from_phase <> 'other visits'), 0)
            * case when count(*) filter (where from_phase <> 'other visits') = 3 then 2.0 / 3 else 1 end as log_likelihood
    from by_pair
    group by vehicle, corner, visit, tried_index, tried_hand, tried_sign
),
likely as (
    select *, exp(log_weight - peak) / sum(exp(log_weight - peak)) over same_corner as p
    from (
        select *, ln(prior) + log_likelihood as log_weight, max(ln(prior) + log_likelihood) over same_corner as peak
        from candidates
        inner join by_placement using (vehicle, corner, visit, tried_index, tried_hand, tried_sign)
        window same_corner as (partition by vehicle, corner, visit)
    )
    window same_corner as (
        partition by vehicle, corner, visit order by tried_index, tried_hand, tried_sign rows between unbounded preceding and unbounded following
    )
),
judged as (
    select
        vehicle,
        corner,
        visit,
        last_phase,
        last_index,
        last_hand,
        1 - max(p) filter (where as_written) as p_mistake,
        string_agg(
            case when tried_sign < 0 then 'marks of the other sign' else format('index {} with the {} plate', tried_index, tried_hand) end,
            ' or ' order by p desc, tried_sign desc, tried_index, tried_hand
        ) filter (where not as_written and p > 0.2 * best) as words,
        count(*) filter (where not as_written and p > 0.2 * best) as candidate_count
    from (select *, max(p) filter (where not as_written) over (partition by vehicle, corner, visit) as best from likely)
    group by vehicle, corner, visit, last_phase, last_index, last_hand
)
select
    states.chassis,
    judged.vehicle,
    judged.corner,
    judged.visit,
    format(
        'the angles fit {}{}; index {} with the {} plate is written',
        words, case when candidate_count > 1 then ' (which one cannot be told)' else '' end, last_index, last_hand
    ) as finding,
    p_mistake,
    source_file,
    source_line
from judged
inner join states
    on states.vehicle = judged.vehicle
    and states.corner = judged.corner
    and states.visit = judged.visit
    and states.phase = judged.last_phase
where p_mistake >= 0.5
