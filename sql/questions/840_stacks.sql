-- Dry stacks of a box on a shaft with their parts, best first: at most shown rows per kit and shaft, in the order of best_stacks. Limits:
-- _low and _high are the worst case (sum of the tolerances), _rss_ the statistical one (root sum of squares).
create or replace temp macro stacks(asked_kit, asked_shaft, keep_plate, plate_mm, changed, shown) as table
with
options as materialized (
    select * from stack_options(asked_kit, asked_shaft, keep_plate, plate_mm, changed)
),
ranked as materialized (
    select * from best_stacks(asked_kit, asked_shaft, keep_plate, plate_mm, changed, shown)
),
-- The numbers of the options read back into parts.
chosen as (
    select
        ranked.kit,
        ranked.shaft,
        rank,
        coalesce(list(part order by options.step) filter (part is not null and options.step <= 2), []) as below,
        coalesce(list(part order by options.step) filter (part is not null and options.step > 2), []) as above,
        max(part) filter (role = 'bearing') as bearing_part,
        max(part) filter (role = 'nut') as nut_part,
        max(drop_nm) filter (role = 'bearing') as drop_nm,
        list(defect order by options.step) filter (defect is not null) as defects,
        sum(cast(options.tol_nm as hugeint) * options.tol_nm) filter (role <> 'nut') as tol_nm2,
        coalesce(
            sum(cast(options.tol_nm as hugeint) * options.tol_nm) filter (role = 'lower_adapter'), 0
        ) as gap_tol_nm2
    from ranked
    inner join options
        on options.kit = ranked.kit and options.shaft = ranked.shaft
        and (
            (options.step is not null and options.number = stack_choice(frame, options.step))
            or (options.role = 'spacer' and part is null)
        )
    group by ranked.kit, ranked.shaft, rank
),
measured as (
    select
        ranked.* exclude (spacers),
        chosen.* exclude (kit, shaft, rank, below, above),
        shafts.* exclude (kit, shaft),
        list_concat(below, spacers, above) as parts,
        height_nm + set_nm as clamped_nm,
        clamped_nm - shoulder_nm as margin_nm,
        tol_nm + set_tol_nm + shoulder_tol_nm as margin_tol_nm,
        tol_nm2 + set_tol_nm2 + cast(shoulder_tol_nm as hugeint) * shoulder_tol_nm as margin_tol_nm2,
        case when nut_nm > 0 then shoulder_nm + thread_nm - clamped_nm - nut_nm end as shown_nm,
        margin_tol_nm + thread_tol_nm + nut_tol_nm as shown_tol_nm,
        margin_tol_nm2 + cast(thread_tol_nm as hugeint) * thread_tol_nm
            + cast(nut_tol_nm as hugeint) * nut_tol_nm as shown_tol_nm2,
        gap_nm + set_nm as clearance_nm,
        gap_tol_nm + set_tol_nm as clearance_tol_nm,
        gap_tol_nm2 + set_tol_nm2 as clearance_tol_nm2
    from ranked
    inner join chosen using (kit, shaft, rank)
    inner join stack_shafts() as shafts using (kit, shaft)
),
uses as (
    select kit, shaft, rank, part, part_count, count(*) filter (used) as used_count,
        any_value(source_line) as source_line
    from (
        select kit, shaft, rank, unnest(parts) as part, true as used from measured
        union all
        select kit, shaft, rank, part, false
        from measured
        inner join stack_parts() using (kit, shaft)
    )
    inner join stack_parts() using (kit, shaft, part)
    group by kit, shaft, rank, part, part_count
),
boxes as (
    select
        kit,
        shaft,
        rank,
        min(case when used_count > 0 then part_count // used_count end) as box_stack_count,
        flatten(
            list(list_resize(cast([] as varchar[]), part_count - used_count, part) order by source_line, part)
        ) as left_parts
    from uses
    group by kit, shaft, rank
)
select
    kit,
    shaft,
    rank,
    parts,
    clamped_nm / 1e6 as clamped_length_mm,
    margin_nm / 1e6 as shoulder_margin_mm,
    case when nut_nm > 0 then
        greatest(least(clamped_nm + nut_nm, shoulder_nm + thread_nm) - greatest(clamped_nm, shoulder_nm), 0) / 1e6
    end as thread_engaged_mm,
    clearance_nm / 1e6 as clearance_mm,
    defect_count = 0 and short_nm <= 0 and room_nm >= 0 as sound,
    (margin_nm - margin_tol_nm) / 1e6 as shoulder_margin_low_mm,
    (margin_nm + margin_tol_nm) / 1e6 as shoulder_margin_high_mm,
    round(margin_nm - sqrt(margin_tol_nm2)) / 1e6 as shoulder_margin_rss_low_mm,
    round(margin_nm + sqrt(margin_tol_nm2)) / 1e6 as shoulder_margin_rss_high_mm,
    shown_nm / 1e6 as thread_shown_mm,
    (shown_nm - shown_tol_nm) / 1e6 as thread_shown_low_mm,
    round(shown_nm - sqrt(shown_tol_nm2)) / 1e6 as thread_shown_rss_low_mm,
    (clearance_nm - clearance_tol_nm) / 1e6 as clearance_low_mm,
    round(clearance_nm - sqrt(clearance_tol_nm2)) / 1e6 as clearance_rss_low_mm,
    (clearance_nm + drop_nm) / 1e6 as plate_to_bearing_mm,
    case when own_plate then 'car' else 'kit' end as spring_plate,
    case when has_bearings then 'stack' else 'spring_plate' end as bearing,
    coalesce(box_stack_count, 0) as box_stack_count,
    left_parts,
    coalesce(defects, []) as defects,
    bearing_part,
    nut_part,
    (margin_low_nm - set_nm + set_tol_nm) / 1e6 as margin_short_mm,
    short_nm / 1e6 as short_mm,
    room_nm / 1e6 as room_mm,
    nut_nm / 1e6 as nut_height_mm,
    drop_nm / 1e6 as drop_mm,
    seat_diameter_mm,
    min_shown_pitch_count * pitch_nm / 1e6 as min_shown_mm,
    min_margin_mm,
    wish_margin_low_mm,
    wish_margin_high_mm,
    min_clearance_mm,
    spacer_tol_mm,
    shoulder_nm / 1e6 as shoulder_length_mm,
    thread_nm / 1e6 as thread_length_mm
from measured
cross join changed_rules(changed)
left join boxes using (kit, shaft, rank);
