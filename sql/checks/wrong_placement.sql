-- title: A plate whose angles fit another bolt position or the other hand
-- likely: the index, the hand or the sign of the marks written down wrong, or the plate bolted in other than meant
-- mend: look at the plate; correct the index or the hand and load the rows with --replace
-- explains: lost_camber_sign, downweighted_moves
-- Every bolt position and both hands of the pair are tried for the last placement of a corner in a visit, against what the
-- angles did within the visit and since the original mount (covariance: reading noise, slopes, pointer, change of mount).
-- Prior probabilities (from memory): another index 2 %, the other hand 0.5 %, both 0.5 %, marks with the sign lost 0.6 %. Placements that the angles cannot
-- tell apart are named together; the other hand does not show when it mirrors the move onto itself.
with
kit_plates as (
    select named.chassis, named.kit, plates.* exclude (kit, chassis)
    from (select distinct kit, chassis from readings where kit is not null) as named
    inner join plates using (kit)
    where plates.chassis = named.chassis or plates.chassis is null
    qualify row_number() over (partition by named.kit, named.chassis order by plates.chassis is null) = 1
),
-- Every bolt position of the two hands of a pair; per mark in millionths of a millimetre, since plate_offset rounds to a millionth.
bolted as (
    select
        chassis,
        kit,
        place_index,
        other_hand,
        index_count,
        plate_offset(0, 0, pitch_mm, axis_deg, centre_out_mm * 1e6, centre_aft_mm * 1e6, turn_deg, other_hand) as zero,
        plate_offset(1e6, 0, pitch_mm, axis_deg, 0, 0, turn_deg, other_hand) as first_mark,
        plate_offset(0, 1e6, pitch_mm, axis_deg, 0, 0, turn_deg, other_hand) as second_mark
    from (
        select *, (place_index - 1) * index_step_deg as turn_deg
        from kit_plates
        cross join unnest(range(1, cast(index_count as bigint) + 1)) as indices(place_index)
        cross join (values (true), (false)) as hands(other_hand)
    )
),
places as (
    select
        chassis,
        kit,
        place_index,
        other_hand,
        index_count,
        zero.out_mm / 1e6 as zero_out_mm,
        zero.aft_mm / 1e6 as zero_aft_mm,
        first_mark.out_mm / 1e6 as first_out_mm,
        first_mark.aft_mm / 1e6 as first_aft_mm,
        second_mark.out_mm / 1e6 as second_out_mm,
        second_mark.aft_mm / 1e6 as second_aft_mm
    from bolted
),
-- A place that was measured directly does not follow from index and hand.
by_marks as (
    select
        states.chassis,
        vehicle,
        corner,
        visit,
        phase,
        phase_order,
        states.kit,
        plate_index,
        places.other_hand,
        mark_1,
        coalesce(mark_2, 0) as mark_2
    from states
    inner join places
        on places.chassis = states.chassis
        and places.kit = states.kit
        and places.place_index = states.plate_index
        and places.other_hand = (plate_hand <> case when corner = 'FL' then 'left' else 'right' end)
    where corner in ('FL', 'FR')
        and abs(zero_out_mm + first_out_mm * mark_1 + second_out_mm * coalesce(mark_2, 0) - offset_out_mm) < 1e-3
),
-- The last placement of a corner in a visit, and the marks of the states that share it.
lasts as (
    select
        vehicle,
        corner,
        visit,
        max_by(chassis, phase_order) as chassis,
        max_by(phase, phase_order) as last_phase,
        max_by(kit, phase_order) as last_kit,
        max_by(plate_index, phase_order) as last_index,
        max_by(other_hand, phase_order) as last_other_hand,
        any_value(kit) filter (where phase = 'before') as before_by_kit,
        any_value(plate_index) filter (where phase = 'before') as before_plate_index,
        any_value(other_hand) filter (where phase = 'before') as before_other_hand,
        any_value(mark_1) filter (where phase = 'before') as before_mark_1,
        any_value(mark_2) filter (where phase = 'before') as before_mark_2,
        any_value(kit) filter (where phase = 'moved') as moved_by_kit,
        any_value(plate_index) filter (where phase = 'moved') as moved_plate_index,
        any_value(other_hand) filter (where phase = 'moved') as moved_other_hand,
        any_value(mark_1) filter (where phase = 'moved') as moved_mark_1,
        any_value(mark_2) filter (where phase = 'moved') as moved_mark_2,
        any_value(kit) filter (where phase = 'after') as after_by_kit,
        any_value(plate_index) filter (where phase = 'after') as after_plate_index,
        any_value(other_hand) filter (where phase = 'after') as after_other_hand,
        any_value(mark_1) filter (where phase = 'after') as after_mark_1,
        any_value(mark_2) filter (where phase = 'after') as after_mark_2
    from by_marks
    group by vehicle, corner, visit
),
-- What other visits read on the original mount, as one state more ahead of those of the visit.
original_mounts as (
    select
        vehicle,
        corner,
        visit,
        mean_of_three(
            case when before_original then before_camber_deg end, case when moved_original then moved_camber_deg end,
            case when after_original then after_camber_deg end
        ) as camber_deg,
        mean_of_three(
            case when before_original then before_camber_var_deg2 end,
            case when moved_original then moved_camber_var_deg2 end,
            case when after_original then after_camber_var_deg2 end
        )
            / nullif(
                cast(before_original and before_camber_deg is not null as integer)
                + cast(moved_original and moved_camber_deg is not null as integer)
                + cast(after_original and after_camber_deg is not null as integer), 0
            ) as camber_var_deg2,
        mean_of_three(
            case when before_original then before_caster_deg end, case when moved_original then moved_caster_deg end,
            case when after_original then after_caster_deg end
        ) as caster_deg,
        mean_of_three(
            case when before_original then before_caster_var_deg2 end,
            case when moved_original then moved_caster_var_deg2 end,
            case when after_original then after_caster_var_deg2 end
        )
            / nullif(
                cast(before_original and before_caster_deg is not null as integer)
                + cast(moved_original and moved_caster_deg is not null as integer)
                + cast(after_original and after_caster_deg is not null as integer), 0
            ) as caster_var_deg2,
        mean_of_three(
            case when before_original then before_sai_deg end, case when moved_original then moved_sai_deg end,
            case when after_original then after_sai_deg end
        ) as sai_deg,
        mean_of_three(
            case when before_original then before_sai_var_deg2 end,
            case when moved_original then moved_sai_var_deg2 end, case when after_original then after_sai_var_deg2 end
        )
            / nullif(
                cast(before_original and before_sai_deg is not null as integer)
                + cast(moved_original and moved_sai_deg is not null as integer)
                + cast(after_original and after_sai_deg is not null as integer), 0
            ) as sai_var_deg2
    from (
        select
            *,
            coalesce(before_kit is null and before_out_mm = 0 and before_aft_mm = 0, false) as before_original,
            coalesce(moved_kit is null and moved_out_mm = 0 and moved_aft_mm = 0, false) as moved_original,
            coalesce(after_kit is null and after_out_mm = 0 and after_aft_mm = 0, false) as after_original
        from check_corners
        where corner in ('FL', 'FR') and (before_original or moved_original or after_original)
    )
),
-- Sums over all visits less the visit's own: exact, so that each mean is that of the other visits.
totals as (
    select
        vehicle,
        corner,
        count(*) as mount_count,
        sum(micro(camber_deg)) as camber_sum,
        count(camber_deg) as camber_count,
        sum(micro(camber_var_deg2)) as camber_var_sum,
        count(camber_var_deg2) as camber_var_count,
        sum(micro(caster_deg)) as caster_sum,
        count(caster_deg) as caster_count,
        sum(micro(caster_var_deg2)) as caster_var_sum,
        count(caster_var_deg2) as caster_var_count,
        sum(micro(sai_deg)) as sai_sum,
        count(sai_deg) as sai_count,
        sum(micro(sai_var_deg2)) as sai_var_sum,
        count(sai_var_deg2) as sai_var_count
    from original_mounts
    group by vehicle, corner
),
elsewhere as (
    select
        lasts.vehicle,
        lasts.corner,
        lasts.visit,
        sum_of_others(totals.camber_sum, own.camber_deg) / nullif(
            totals.camber_count - cast(own.camber_deg is not null as integer), 0
        ) / 1e6
            as other_camber_deg,
        (
            sum_of_others(totals.camber_var_sum, own.camber_var_deg2)
                / nullif(totals.camber_var_count - cast(own.camber_var_deg2 is not null as integer), 0) / 1e6
            + camber_visit_var_deg2
        ) / nullif(totals.camber_count - cast(own.camber_deg is not null as integer), 0)
            + camber_visit_var_deg2 as other_camber_var_deg2,
        sum_of_others(totals.caster_sum, own.caster_deg) / nullif(
            totals.caster_count - cast(own.caster_deg is not null as integer), 0
        ) / 1e6
            as other_caster_deg,
        (
            sum_of_others(totals.caster_var_sum, own.caster_var_deg2)
                / nullif(totals.caster_var_count - cast(own.caster_var_deg2 is not null as integer), 0) / 1e6
            + caster_visit_var_deg2
        ) / nullif(totals.caster_count - cast(own.caster_deg is not null as integer), 0)
            + caster_visit_var_deg2 as other_caster_var_deg2,
        sum_of_others(totals.sai_sum, own.sai_deg) / nullif(
            totals.sai_count - cast(own.sai_deg is not null as integer), 0
        ) / 1e6
            as other_sai_deg,
        (
            sum_of_others(totals.sai_var_sum, own.sai_var_deg2)
                / nullif(totals.sai_var_count - cast(own.sai_var_deg2 is not null as integer), 0) / 1e6
            + sai_visit_var_deg2
        ) / nullif(totals.sai_count - cast(own.sai_deg is not null as integer), 0)
            + sai_visit_var_deg2 as other_sai_var_deg2
    from lasts
    inner join totals on totals.vehicle = lasts.vehicle and totals.corner = lasts.corner
    left join original_mounts as own on own.vehicle = lasts.vehicle and own.corner = lasts.corner
        and own.visit = lasts.visit
    cross join check_spreads
    where mount_count > cast(own.visit is not null as integer)
),
recorded as (
    select
        check_corners.*,
        check_slopes.* exclude (chassis, vehicle),
        check_spreads.*,
        lasts.* exclude (chassis, vehicle, corner, visit),
        elsewhere.* exclude (vehicle, corner, visit),
        coalesce(
            before_by_kit = last_kit and before_plate_index = last_index and before_other_hand = last_other_hand, false
        ) as before_tried,
        coalesce(
            moved_by_kit = last_kit and moved_plate_index = last_index and moved_other_hand = last_other_hand, false
        ) as moved_tried,
        coalesce(
            after_by_kit = last_kit and after_plate_index = last_index and after_other_hand = last_other_hand, false
        ) as after_tried
    from check_corners
    inner join lasts using (vehicle, corner, visit)
    inner join check_slopes on check_slopes.chassis = check_corners.chassis
        and check_slopes.vehicle = check_corners.vehicle
    left join elsewhere using (vehicle, corner, visit)
    cross join check_spreads
),
-- Corners whose record as written fits so badly that the prior odds could be made up (misfit_of_three).
suspects as (
    select vehicle, corner, visit
    from placement_residuals('recorded')
    where placed_misfit_of_three(
        other_camber_deg, other_camber_var, other_camber_least, other_caster_deg, other_caster_var, other_caster_least,
        other_sai_deg, other_sai_var, other_sai_least
    )
        + pair_share * (
            placed_misfit_of_three(
                before_moved_camber_deg, before_moved_camber_var, before_moved_camber_least, before_moved_caster_deg,
                before_moved_caster_var, before_moved_caster_least, before_moved_sai_deg, before_moved_sai_var,
                before_moved_sai_least
            )
            + placed_misfit_of_three(
                before_after_camber_deg, before_after_camber_var, before_after_camber_least, before_after_caster_deg,
                before_after_caster_var, before_after_caster_least, before_after_sai_deg, before_after_sai_var,
                before_after_sai_least
            )
            + placed_misfit_of_three(
                moved_after_camber_deg, moved_after_camber_var, moved_after_camber_least, moved_after_caster_deg,
                moved_after_caster_var, moved_after_caster_least, moved_after_sai_deg, moved_after_sai_var,
                moved_after_sai_least
            )
        ) >= 3.2
),
candidates as (
    select
        recorded.* exclude (before_out_mm, before_aft_mm, moved_out_mm, moved_aft_mm, after_out_mm, after_aft_mm),
        place_index as tried_index,
        places.other_hand as tried_other_hand,
        tried_sign,
        place_index = last_index and places.other_hand = last_other_hand and tried_sign = 1 as as_written,
        index_count,
        case
            when tried_sign < 0 then 0.006
            when as_written then 0.964
            when place_index = last_index then 0.005
            when places.other_hand = last_other_hand then 0.02 / (index_count - 1)
            else 0.005 / (index_count - 1)
        end as prior,
        case when before_tried
            then marked_mm(
                zero_out_mm, first_out_mm, second_out_mm, tried_sign * before_mark_1, tried_sign * before_mark_2
            ) else before_out_mm end
            as before_out_mm,
        case when before_tried
            then marked_mm(
                zero_aft_mm, first_aft_mm, second_aft_mm, tried_sign * before_mark_1, tried_sign * before_mark_2
            ) else before_aft_mm end
            as before_aft_mm,
        case when moved_tried
            then marked_mm(
                zero_out_mm, first_out_mm, second_out_mm, tried_sign * moved_mark_1, tried_sign * moved_mark_2
            ) else moved_out_mm end
            as moved_out_mm,
        case when moved_tried
            then marked_mm(
                zero_aft_mm, first_aft_mm, second_aft_mm, tried_sign * moved_mark_1, tried_sign * moved_mark_2
            ) else moved_aft_mm end
            as moved_aft_mm,
        case when after_tried
            then marked_mm(
                zero_out_mm, first_out_mm, second_out_mm, tried_sign * after_mark_1, tried_sign * after_mark_2
            ) else after_out_mm end
            as after_out_mm,
        case when after_tried
            then marked_mm(
                zero_aft_mm, first_aft_mm, second_aft_mm, tried_sign * after_mark_1, tried_sign * after_mark_2
            ) else after_aft_mm end
            as after_aft_mm
    from recorded
    semi join suspects using (vehicle, corner, visit)
    inner join places on places.chassis = recorded.chassis and places.kit = last_kit
    cross join (values (1), (-1)) as signs(tried_sign)
    where tried_sign = 1 or (place_index = last_index and places.other_hand = last_other_hand)
),
by_placement as materialized (
    select
        vehicle,
        corner,
        visit,
        last_phase,
        last_index,
        last_other_hand,
        tried_index,
        tried_other_hand,
        tried_sign,
        as_written,
        index_count,
        ln(prior)
            + log_mixed_three(
                other_camber_deg, other_camber_var, other_caster_deg, other_caster_var, other_sai_deg, other_sai_var
            )
            + pair_share * (
                log_mixed_three(
                    before_moved_camber_deg, before_moved_camber_var, before_moved_caster_deg, before_moved_caster_var,
                    before_moved_sai_deg, before_moved_sai_var
                )
                + log_mixed_three(
                    before_after_camber_deg, before_after_camber_var, before_after_caster_deg, before_after_caster_var,
                    before_after_sai_deg, before_after_sai_var
                )
                + log_mixed_three(
                    moved_after_camber_deg, moved_after_camber_var, moved_after_caster_deg, moved_after_caster_var,
                    moved_after_sai_deg, moved_after_sai_var
                )
            ) as log_weight
    from placement_residuals('candidates')
),
-- Whose other placements are together likelier than the one that is written.
doubted as (
    select vehicle, corner, visit
    from by_placement
    group by vehicle, corner, visit
    having max(log_weight) filter (where not as_written) + ln(2 * any_value(index_count))
        >= max(log_weight) filter (where as_written)
),
likely as (
    select *, exp(log_weight - peak) / sum(exp(log_weight - peak)) over same_corner as p
    from (
        select
            *,
            case when (corner = 'FL') = tried_other_hand then 'right' else 'left' end as tried_hand,
            case when (corner = 'FL') = last_other_hand then 'right' else 'left' end as last_hand,
            max(log_weight) over (partition by vehicle, corner, visit) as peak
        from by_placement
        semi join doubted using (vehicle, corner, visit)
    )
    window same_corner as (
        partition by vehicle, corner, visit order by tried_index, tried_hand, tried_sign
            rows between unbounded preceding and unbounded following
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
            case when tried_sign < 0 then 'marks of the other sign'
                else format('index {} with the {} plate', tried_index, tried_hand) end,
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
