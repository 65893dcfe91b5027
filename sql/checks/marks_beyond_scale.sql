-- title: Pointers beyond the end of their scale
-- likely: a mark mistyped or with the wrong sign, millimetres written as marks, or the wrong kit named
-- mend: correct the mark or the kit, or the ends of the scale of the kit, and load the row with --replace
-- explains: wrong_placement, lost_camber_sign, swapped_sides, downweighted_moves
-- p_mistake is 1: the scale has no such mark.
with
marked as (
    select placements.*, plates.mark_min, plates.mark_max, plates.mark2_min, plates.mark2_max, plates.two_scales
    from placements
    left join plates as own on own.kit = placements.kit and own.chassis = placements.chassis
    inner join plates on plates.kit = placements.kit and plates.chassis is not distinct from own.chassis
)
select
    chassis,
    vehicle,
    corner,
    visit,
    concat_ws(
        ', ',
        case
            when not mark_1 between coalesce(mark_min, mark_1) and coalesce(mark_max, mark_1)
            then concat_ws(
                ' ', format('mark {} ({}), the scale of kit {} goes', mark_1, phase, kit),
                format('from {}', mark_min), format('to {}', mark_max)
            )
        end,
        case
            when two_scales and not mark_2 between mark2_min and mark2_max
            then concat_ws(
                ' ', format('second mark {} ({}), the scale of kit {} goes', mark_2, phase, kit),
                format('from {}', mark2_min), format('to {}', mark2_max)
            )
            when not two_scales and mark_2 <> 0
                then format('second mark {} ({}), kit {} has one scale only', mark_2, phase, kit)
        end
    ) as finding,
    cast(1 as double) as p_mistake,
    source_file,
    source_line
from marked
where not mark_1 between coalesce(mark_min, mark_1) and coalesce(mark_max, mark_1)
    or (two_scales and not mark_2 between mark2_min and mark2_max)
    or (not two_scales and mark_2 <> 0)
