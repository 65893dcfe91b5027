-- Every setting that the plates of the asked corners can take, one row per corner, hand, index and marks, and the present one.
-- asked_kit: kit to fit instead of the present one, or NULL; asked_index, asked_hand ('own', 'other'): clocking to ask about, or
-- NULL for the present one, and for all of them where the kit is not fitted yet; any_clocking: all of them.
create or replace temp macro plate_settings(
    asked_vehicles, asked_chassis, given_corners, asked_kit, asked_index, asked_hand, mark_step, any_clocking
) as table
with
corners as (
    select * from asked_corners(asked_vehicles, asked_chassis, given_corners)
),
plated as (
    select
        corners.*,
        plates.kit as new_kit,
        plates.* exclude (kit, chassis),
        case when corner = 'FL' then 'left' else 'right' end as own_hand,
        corners.kit is not distinct from plates.kit as kit_fitted
    from corners
    inner join plates
        on plates.kit = coalesce(asked_kit, corners.kit)
        and (plates.chassis = corners.chassis or plates.chassis is null)
    qualify row_number() over (partition by corners.vehicle, corner order by plates.chassis nulls last) = 1
),
clocked as (
    select
        plated.* exclude (plate_hand, plate_index),
        plated.plate_hand as present_hand,
        plated.plate_index as present_index,
        indices.plate_index,
        hands.plate_hand,
        coalesce(
            kit_fitted and plated.plate_hand = hands.plate_hand and plated.plate_index = indices.plate_index, false
        ) as same_clocking
    from plated
    cross join (select unnest(range(1, 13)) as plate_index) as indices
    cross join (select unnest(['left', 'right']) as plate_hand) as hands
    where
        indices.plate_index <= index_count
        and indices.plate_index = coalesce(
            asked_index, case when kit_fitted and not any_clocking then plated.plate_index end, indices.plate_index
        )
        and hands.plate_hand = coalesce(
            case asked_hand when 'own' then own_hand
                when 'other' then case own_hand when 'left' then 'right' else 'left' end end,
            case when kit_fitted and not any_clocking then plated.plate_hand end,
            hands.plate_hand
        )
),
-- Where the offset was measured, the plate's own geometry is moved to agree with it.
aligned as (
    select
        *,
        plate_offset(
            mark_1, mark_2, pitch_mm, axis_deg, centre_out_mm, centre_aft_mm,
            (plate_index - 1) * index_step_deg, plate_hand <> own_hand
        ) as by_marks
    from clocked
),
erring as (
    select
        *,
        radians(axis_deg + (plate_index - 1) * index_step_deg) as direction,
        {
            'oo': mark_error_mm2 * case when two_scales then 1 else power(cos(direction), 2) end,
            'oa': mark_error_mm2 * case when two_scales then 0 else sin(direction) * cos(direction) end
                * case when plate_hand <> own_hand then -1 else 1 end,
            'aa': mark_error_mm2 * case when two_scales then 1 else power(sin(direction), 2) end
        } as set_error
    from aligned
),
marked as (
    select
        erring.* exclude (mark_1, mark_2, by_marks, direction),
        mark_1 as present_mark_1,
        mark_2 as present_mark_2,
        case when same_clocking then coalesce(offset_out_mm - by_marks.out_mm, 0) else 0 end as shift_out_mm,
        case when same_clocking then coalesce(offset_aft_mm - by_marks.aft_mm, 0) else 0 end as shift_aft_mm,
        unnest(mark_grid(mark_min, mark_max, mark_step)) as new_mark_1
    from erring
),
twice_marked as (
    select
        *,
        unnest(
            case when two_scales then mark_grid(mark2_min, mark2_max, mark_step) else [cast(0 as double)] end
        ) as new_mark_2
    from marked
),
placed as (
    select
        *,
        plate_offset(
            new_mark_1, new_mark_2, pitch_mm, axis_deg, centre_out_mm, centre_aft_mm,
            (plate_index - 1) * index_step_deg, plate_hand <> own_hand
        ) as place
    from twice_marked
),
moved as (
    select
        *,
        round(place.out_mm + shift_out_mm, 6) as new_out_mm,
        round(place.aft_mm + shift_aft_mm, 6) as new_aft_mm,
        false as stay,
        -- Pointer read before and set after; a change of mount leaves the bearing's centre unsure by 1 mm (from
        -- memory).
        {
            'oo': read_error.oo + set_error.oo + case when kit_fitted then 0 else 1 end,
            'oa': read_error.oa + set_error.oa,
            'aa': read_error.aa + set_error.aa + case when kit_fitted then 0 else 1 end
        } as place_error
    from placed
    where not same_clocking
        or new_mark_1 is distinct from present_mark_1
        or new_mark_2 is distinct from present_mark_2
),
present as (
    select
        marked.*,
        present_mark_1 as new_mark_1,
        present_mark_2 as new_mark_2,
        offset_out_mm as new_out_mm,
        offset_aft_mm as new_aft_mm,
        true as stay,
        {'oo': cast(0 as double), 'oa': cast(0 as double), 'aa': cast(0 as double)} as place_error
    from (select distinct * exclude (new_mark_1) from marked where same_clocking) as marked
)
select * exclude (place) from moved
union all by name
select * from present;
