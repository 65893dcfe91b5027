-- Where the pointers stand on the first scale, in tenths of its length, per kit and index; both hands together.
with
pointers as (
    select
        present_corners.kit,
        present_corners.plate_index,
        (mark_1 - mark_min) / (mark_max - mark_min) as position,
        least(floor(10 * position), 9) as tenth
    from present_corners
    inner join plates
        on plates.kit = present_corners.kit
        and (plates.chassis = present_corners.chassis or plates.chassis is null)
    where mark_min < mark_max
        and mark_1 between mark_min and mark_max
        and present_corners.plate_index is not null
        and ($chassis::varchar is null or present_corners.chassis = $chassis)
    qualify row_number() over (partition by vehicle, corner order by plates.chassis nulls last) = 1
)
select
    kit_rank,
    pointers.kit,
    plate_index,
    tenth / 10 as from_share,
    (tenth + 1) / 10 as to_share,
    count(*) as corner_count,
    sum(count(*)) over one_index as index_corner_count,
    sum(count(*) filter (where position <= 0.1)) over one_index as low_end_count,
    sum(count(*) filter (where position >= 0.9)) over one_index as high_end_count
from pointers
inner join range_kits($kit::varchar) as kits on kits.kit = pointers.kit
group by kit_rank, pointers.kit, plate_index, tenth
window one_index as (partition by pointers.kit, plate_index)
order by kit_rank, plate_index, tenth
