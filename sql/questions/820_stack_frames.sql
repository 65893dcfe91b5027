-- Stacks without their spacers: one row per kit, shaft and choice of one option at each step. frame: the numbers of the options, see
-- stack_choice; gap_nm: height between spring plate and bearing less the drop of the bearing, NULL where that is not known or
-- the bearing sits in the spring plate. Spacers of height h and tolerance t make the stack sound where h - t >= low_nm and
-- h + t <= high_nm; margin_low_nm is the part of low_nm that the margin over the shoulder asks for, and middle_nm the height that
-- puts the margin in the middle of what is wished.
create or replace temp macro stack_frames(asked_kit, asked_shaft, keep_plate, plate_mm, changed) as table
with recursive
options as materialized (
    select
        *,
        -- What must go on is kept even beyond the end of the thread, so that the answer can say so.
        case when never_empty or part is null then 0 else height_nm end as checked_nm,
        case
            when defect is not null then 1
            when part is null then 0
            when role = 'bearing' and drop_nm is null then 1
            when role = 'nut' and height_nm = 0 then 1
            else 0
        end as defect_count
    from stack_options(asked_kit, asked_shaft, keep_plate, plate_mm, changed)
),
frames as (
    select
        kit,
        shaft,
        0 as step,
        cast(0 as hugeint) as frame,
        cast(0 as bigint) as height_nm,
        cast(0 as bigint) as tol_nm,
        cast(0 as bigint) as gap_nm,
        cast(0 as bigint) as gap_tol_nm,
        cast(0 as bigint) as nut_nm,
        cast(0 as bigint) as nut_tol_nm,
        0 as piece_count,
        false as own_plate,
        defect_count
    from options
    where role = 'spacer' and part is null
    union all
    select
        frames.kit,
        frames.shaft,
        options.step,
        frame * 1000 + number,
        frames.height_nm + case when role = 'nut' then 0 else options.height_nm end,
        frames.tol_nm + case when role = 'nut' then 0 else options.tol_nm end,
        case role
            when 'lower_adapter' then gap_nm + options.height_nm
            when 'bearing' then gap_nm - drop_nm
            else gap_nm
        end,
        case when role = 'lower_adapter' then options.tol_nm else gap_tol_nm end,
        case when role = 'nut' then options.height_nm else 0 end,
        case when role = 'nut' then options.tol_nm else 0 end,
        piece_count + case when part is null then 0 else 1 end,
        own_plate or (role = 'spring_plate' and part is null),
        frames.defect_count + options.defect_count
    from frames
    inner join options
        on options.kit = frames.kit and options.shaft = frames.shaft and options.step = frames.step + 1
    inner join stack_shafts() as shafts on shafts.kit = frames.kit and shafts.shaft = frames.shaft
    where checked_nm = 0 or frames.height_nm + checked_nm <= shoulder_nm + thread_nm
),
whole as (
    select
        frames.* exclude (step, gap_nm),
        case when has_bearings then gap_nm end as gap_nm,
        shoulder_nm + shoulder_tol_nm + cast(micro(min_margin_mm) as bigint) + tol_nm - height_nm as margin_low_nm,
        cast(micro(min_clearance_mm) as bigint) as min_clearance_nm,
        shoulder_nm - shoulder_tol_nm + thread_nm - thread_tol_nm
            - cast(round(min_shown_pitch_count * pitch_nm) as bigint)
            - height_nm - tol_nm - nut_nm - nut_tol_nm as high_nm,
        shoulder_nm + cast(micro((wish_margin_low_mm + wish_margin_high_mm) / 2) as bigint) - height_nm as middle_nm
    from frames
    inner join stack_shafts() using (kit, shaft)
    cross join changed_rules(changed)
    where step = len(stack_roles())
)
select
    * exclude (min_clearance_nm),
    greatest(margin_low_nm, min_clearance_nm + gap_tol_nm - gap_nm) as low_nm
from whole;
