-- The smallest box found that makes a sound stack for every shaft that the whole box serves: one row per kit and part, with the pieces
-- that it takes. found: list of sound stacks, structs of kit, shaft, rank and parts; shaft by shaft the 200 smallest boxes are carried on.
create or replace temp macro smallest_box(found) as table
with recursive
pieces as (
    select kit, shaft, rank, {'part': part, 'nth': row_number() over (partition by kit, shaft, rank, part)} as piece
    from (
        select stack.kit, stack.shaft, stack.rank, unnest(stack.parts) as part
        from (select unnest(found) as stack)
    )
),
candidates as materialized (
    select kit, shaft, list_sort(list(piece)) as box from pieces group by kit, shaft, rank
),
turns as materialized (
    select kit, shaft, row_number() over (partition by kit order by count(*), shaft) as turn
    from candidates
    group by kit, shaft
),
boxes as (
    select distinct kit, cast(0 as bigint) as turn, cast([] as struct(part varchar, nth bigint)[]) as box,
        cast(1 as bigint) as place
    from turns
    union all
    select *, row_number() over (partition by kit order by len(box), box) as place
    from (
        select distinct boxes.kit, turns.turn, list_sort(list_distinct(list_concat(boxes.box, candidates.box))) as box
        from boxes
        inner join turns on turns.kit = boxes.kit and turns.turn = boxes.turn + 1
        inner join candidates on candidates.kit = turns.kit and candidates.shaft = turns.shaft
    )
    qualify place <= 200
)
select kit, piece.part as part, count(*) as piece_count
from (
    select kit, unnest(box) as piece from boxes
    inner join (select kit, max(turn) as turn from turns group by kit) using (kit, turn) where place = 1
)
group by kit, part;
