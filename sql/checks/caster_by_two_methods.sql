-- title: One gauge whose caster was read by a sweep and directly
-- likely: two instruments under one name, or one that reads caster in two ways: their errors differ, a sweep of 10 deg is several times as noisy as camber
-- mend: give the gauge a name for each way, such as "rack sweep", and load the rows with --replace, so that each has its own repeatability and bias
-- p_mistake is NULL: both ways are right; that one name stands for both is what answers cannot take account of.
with
read as (
    select gauge, caster_method, chassis, vehicle, corner, visit, source_file, source_line
    from readings
    where caster_method is not null and caster_deg is not null
),
methods as (
    select
        gauge,
        count(*) filter (where caster_method = 'sweep') as sweep_count,
        count(*) filter (where caster_method = 'direct') as direct_count,
        case when sweep_count <= direct_count then 'sweep' else 'direct' end as rarer
    from read
    group by gauge
    having count(distinct caster_method) = 2
),
first_of_rarer as (
    select
        methods.gauge,
        any_value(sweep_count) as sweep_count,
        any_value(direct_count) as direct_count,
        arg_min(
            {
                'chassis': chassis,
                'vehicle': vehicle,
                'corner': corner,
                'visit': visit,
                'file': source_file,
                'line': source_line
            },
            (source_file, source_line)
        ) as place
    from methods
    inner join read on read.gauge is not distinct from methods.gauge and read.caster_method = methods.rarer
    group by methods.gauge
)
select
    place.chassis as chassis,
    place.vehicle as vehicle,
    place.corner as corner,
    place.visit as visit,
    format(
        '{} caster {:d} {} by a sweep and {:d} {} directly',
        coalesce(format('gauge "{}" has', gauge), 'readings without a gauge have'),
        sweep_count,
        case when sweep_count = 1 then 'time' else 'times' end,
        direct_count,
        case when direct_count = 1 then 'time' else 'times' end
    ) as finding,
    cast(null as double) as p_mistake,
    place.file as source_file,
    place.line as source_line
from first_of_rarer
