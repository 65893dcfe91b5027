-- title: Bolt positions that the plate does not have
-- likely: the index mistyped, or the wrong kit named
-- mend: correct the index or the kit, or the count of indices of the kit, and load the row with --replace
-- p_mistake is 1: the plate has no such position.
select
    placements.chassis,
    vehicle,
    corner,
    visit,
    format('index {} ({}); kit {} has {} positions', plate_index, phase, placements.kit, plates.index_count) as finding,
    cast(1 as double) as p_mistake,
    source_file,
    source_line
from placements
left join plates as own on own.kit = placements.kit and own.chassis = placements.chassis
inner join plates on plates.kit = placements.kit and plates.chassis is not distinct from own.chassis
where plate_index > plates.index_count
