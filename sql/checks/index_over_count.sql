-- title: Bolt positions that the plate does not have
-- likely: the index mistyped, or the wrong kit named
-- mend: correct the index or the kit, or the count of indices of the kit, and load the row with --replace
-- p_mistake is 1: the plate has no such position.
select
    placements.chassis,
    vehicle,
    corner,
    visit,
    format('index {} ({}); kit {} has {} positions', plate_index, phase, kit, plates.index_count) as finding,
    cast(1 as double) as p_mistake,
    source_file,
    source_line
from placements
inner join plates using (kit)
where (plates.chassis = placements.chassis or plates.chassis is null)
qualify row_number() over (partition by vehicle, corner, visit, phase, repeat order by plates.chassis is null) = 1
    and plate_index > plates.index_count
