-- Parts that some sound stack uses: one row per kit, shaft and part.
create or replace temp macro sound_parts(asked_kit, asked_shaft, keep_plate, plate_mm, changed) as table
with
frames as materialized (
    select * from stack_frames(asked_kit, asked_shaft, keep_plate, plate_mm, changed) where defect_count = 0
),
sets as materialized (
    select *, height_nm - tol_nm as from_nm, height_nm + tol_nm as to_nm
        from spacer_sets(asked_kit, asked_shaft, changed)
),
-- The lowest top among the sets that are high enough, and the highest ceiling among the frames that need no more.
lowest as (
    select kit, shaft, from_nm, min(to_nm) over (partition by kit, shaft order by from_nm desc) as to_nm from sets
),
highest as (
    select kit, shaft, low_nm, max(high_nm) over (partition by kit, shaft order by low_nm) as high_nm from frames
),
sound_frames as (
    select frames.kit, frames.shaft, frame
    from frames
    asof join lowest on lowest.kit = frames.kit and lowest.shaft = frames.shaft and frames.low_nm <= lowest.from_nm
    where lowest.to_nm <= frames.high_nm
),
sound_sets as (
    select sets.kit, sets.shaft, spacers
    from sets
    asof join highest on highest.kit = sets.kit and highest.shaft = sets.shaft and sets.from_nm >= highest.low_nm
    where sets.to_nm <= highest.high_nm
),
choices as (
    select distinct kit, shaft, step, stack_choice(frame, step) as number
    from sound_frames
    cross join (select unnest(range(1, len(stack_roles()) + 1)) as step)
)
select kit, shaft, part
from choices
inner join stack_options(asked_kit, asked_shaft, keep_plate, plate_mm, changed) using (kit, shaft, step, number)
where part is not null
union
select kit, shaft, unnest(spacers)
from sound_sets;
