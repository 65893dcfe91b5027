-- The clouds: needed offsets of the corners, both corners of a car together; some 300 corners of a chassis and target at most, taken
-- by chance (hash of the name). car: number of the car within its cloud.
select
    group_rank,
    need_points.chassis,
    need_points.target,
    vehicle,
    dense_rank() over (partition by need_points.chassis, need_points.target order by vehicle) as car,
    corner,
    out_mm,
    aft_mm,
    censored,
    corner_count
from range_groups($chassis::varchar, $target::varchar) as groups
inner join need_points on need_points.chassis = groups.chassis and need_points.target = groups.target
inner join (
    select chassis, target, max(corner_count) as corner_count from needed_spreads group by chassis, target
) as counts on counts.chassis = groups.chassis and counts.target = groups.target
where group_rank <= 24 and hash(vehicle) % greatest(corner_count // 300, 1) = 0
order by group_rank, vehicle, corner
