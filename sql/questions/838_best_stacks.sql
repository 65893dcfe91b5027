-- The frames and sets of spacers that make the best dry stacks of a box on a shaft: at most shown rows per kit and shaft. Sound ones come
-- first, those with a spring plate of the box ahead of those on the car's own, then those with the fewest parts, then those whose margin is
-- nearest the middle of what is wished. Unsound ones follow by how much is missing.
create or replace temp macro best_stacks(asked_kit, asked_shaft, keep_plate, plate_mm, changed, shown) as table
with
frames as materialized (
    select * from stack_frames(asked_kit, asked_shaft, keep_plate, plate_mm, changed)
),
sets as materialized (
    select * from spacer_sets(asked_kit, asked_shaft, changed)
),
-- Sets of one class differ in nothing but height.
classes as (
    select kit, shaft, tol_nm, piece_count, min(height_nm) as least_nm, max(height_nm) as most_nm
    from sets
    group by kit, shaft, tol_nm, piece_count
),
-- The frames with the fewest and with the most spacers, six times each at most: any pair of frame and class is looked at further
-- only where it may come up to the best of these.
lean as (
    select
        kit,
        shaft,
        min(
            stack_order(
                defect_count, low_nm - set.height_nm + set.tol_nm, high_nm - set.height_nm - set.tol_nm, own_plate,
                frames.piece_count + set.piece_count, set.height_nm - middle_nm
            ),
            6 * shown
        ) as best
    from frames
    inner join (
        select kit, shaft, tol_nm, piece_count, unnest([least_nm, most_nm]) as height_nm
        from classes
        qualify row_number() over (partition by kit, shaft order by piece_count, tol_nm) <= 2
            or row_number() over (partition by kit, shaft order by piece_count desc, tol_nm) = 1
    ) as set using (kit, shaft)
    group by kit, shaft
),
-- The best set of a class stands next to the height that is aimed at.
aims as (
    select
        frames.*,
        classes.tol_nm as set_tol_nm,
        classes.piece_count as set_piece_count,
        greatest(least(middle_nm, high_nm - classes.tol_nm), low_nm + classes.tol_nm) as aim_nm
    from frames
    inner join classes using (kit, shaft)
    inner join lean using (kit, shaft)
    where len(best) < 6 * shown
        or stack_order(
            defect_count, low_nm + classes.tol_nm - most_nm,
            least(
                high_nm - classes.tol_nm - least_nm,
                high_nm - low_nm - 2 * classes.tol_nm + greatest(low_nm + classes.tol_nm - most_nm, 0)
            ),
            own_plate, frames.piece_count + classes.piece_count, greatest(least_nm - middle_nm, middle_nm - most_nm, 0)
        ) <= best[6 * shown]
),
neighbours as (
    select aims.*, sets.height_nm as set_nm
    from aims
    asof join sets
        on sets.kit = aims.kit and sets.shaft = aims.shaft and sets.tol_nm = set_tol_nm
            and sets.piece_count = set_piece_count
        and aim_nm >= sets.height_nm
    union all
    select aims.*, sets.height_nm
    from aims
    asof join sets
        on sets.kit = aims.kit and sets.shaft = aims.shaft and sets.tol_nm = set_tol_nm
            and sets.piece_count = set_piece_count
        and aim_nm <= sets.height_nm
),
best_frames as materialized (
    select
        kit,
        shaft,
        frame,
        min(
            stack_order(
                defect_count, low_nm - set_nm + set_tol_nm, high_nm - set_nm - set_tol_nm, own_plate,
                piece_count + set_piece_count, set_nm - middle_nm
            )
        ) as place
    from neighbours
    group by kit, shaft, frame
    qualify row_number() over (partition by kit, shaft order by place, frame) <= shown
),
best as materialized (
    select frames.* from frames inner join best_frames using (kit, shaft, frame)
)
select
    best.*,
    sets.spacers,
    sets.height_nm as set_nm,
    sets.tol_nm as set_tol_nm,
    sets.tol_nm2 as set_tol_nm2,
    low_nm - set_nm + set_tol_nm as short_nm,
    high_nm - set_nm - set_tol_nm as room_nm,
    row_number() over (
        partition by best.kit, best.shaft
        order by
            stack_order(
                defect_count, short_nm, room_nm, own_plate, best.piece_count + sets.piece_count, set_nm - middle_nm
            ),
            frame,
            sets.spacers
    ) as rank
from best
inner join sets using (kit, shaft)
qualify rank <= shown;
