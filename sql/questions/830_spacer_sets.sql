-- What the spacers of a box can add: one row per kit, shaft and set of spacers, the empty set included; required ones are in every
-- set. Of the sets of one height, to 0.01 mm, the two with the fewest pieces are kept, and the one with the smallest tolerance:
-- the others do the same with more.
create or replace temp macro spacer_sets(asked_kit, asked_shaft, changed) as table
with recursive
options as materialized (
    select * from stack_options(asked_kit, asked_shaft, false, null, changed)
),
spacers as materialized (
    select
        kit,
        shaft,
        row_number() over (partition by kit, shaft order by source_line, part) as step,
        part,
        height_nm,
        tol_nm,
        range(case when required then 1 else 0 end, usable_count + 1) as counts,
        case when required then 1 else 0 end as least_count
    from options
    where role = 'spacer' and part is not null
),
-- Between the lowest of what must go on and the end of the thread.
rooms as (
    select kit, shaft, any_value(shoulder_nm + thread_nm) - sum(height_nm) as room_nm
    from (
        select kit, shaft, step, min(height_nm) as height_nm
        from options
        where role not in ('spacer', 'nut')
        group by kit, shaft, step
    )
    inner join stack_shafts() using (kit, shaft)
    group by kit, shaft
),
sets as (
    select
        kit,
        shaft,
        cast(0 as bigint) as step,
        cast([] as varchar[]) as spacers,
        cast(0 as bigint) as height_nm,
        cast(0 as bigint) as tol_nm,
        cast(0 as hugeint) as tol_nm2,
        cast(0 as bigint) as piece_count
    from rooms
    union all
    select * exclude (by_pieces, by_tolerance)
    from (
        select
            *,
            row_number() over (
                partition by kit, shaft, height_nm // 10000 order by piece_count, tol_nm, height_nm, spacers
            ) as by_pieces,
            row_number() over (
                partition by kit, shaft, height_nm // 10000 order by tol_nm, piece_count, height_nm, spacers
            ) as by_tolerance
        from (
            select
                kit,
                shaft,
                spacer.step,
                list_concat(sets.spacers, list_resize(cast([] as varchar[]), used, part)) as spacers,
                sets.height_nm + used * spacer.height_nm as height_nm,
                sets.tol_nm + used * spacer.tol_nm as tol_nm,
                sets.tol_nm2 + used * cast(spacer.tol_nm as hugeint) * spacer.tol_nm as tol_nm2,
                piece_count + used as piece_count
            from sets
            inner join (select *, unnest(counts) as used from spacers) as spacer using (kit, shaft)
            inner join rooms using (kit, shaft)
            where spacer.step = sets.step + 1
                and (used = least_count or sets.height_nm + used * spacer.height_nm <= room_nm)
        )
    )
    where by_pieces <= 2 or by_tolerance = 1
)
select sets.* exclude (step)
from sets
left join (select kit, shaft, max(step) as step from spacers group by kit, shaft) as last using (kit, shaft)
where sets.step = coalesce(last.step, 0);
