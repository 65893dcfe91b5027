-- title: Installs and adjustments whose 'after' names no target
-- likely: the target was not written down, so nobody can say whether it was hit
-- mend: write the target's name in the column target of these rows and load them with --replace
-- Only the fronts, which carry the plates. p_mistake is NULL: a car may be set without a target. Where no row of the database names one, that is said once.
with
afters as (
    select chassis, vehicle, corner, visit, target, source_file, source_line
    from readings
    where phase = 'after' and visit_kind in ('install', 'adjust') and corner in ('FL', 'FR')
),
visits as (
    select
        chassis,
        vehicle,
        visit,
        list_sort(list_distinct(list(corner) filter (where target is null))) as corners,
        min(source_file) as source_file,
        arg_min(source_line, (source_file, source_line)) as source_line
    from afters
    group by chassis, vehicle, visit
    having count(*) > count(target)
)
select
    chassis,
    vehicle,
    cast(null as varchar) as corner,
    visit,
    format('{} without target', array_to_string(corners, ', ')) as finding,
    cast(null as double) as p_mistake,
    source_file,
    source_line
from visits
where exists (select 1 from afters where target is not null)
union all
select
    null as chassis,
    null as vehicle,
    null as corner,
    null as visit,
    format('none of the {} installs and adjustments names a target (the first stands here)', count(*)) as finding,
    null as p_mistake,
    min(source_file) as source_file,
    arg_min(source_line, (source_file, source_line)) as source_line
from visits
where not exists (select 1 from afters where target is not null)
having count(*) > 0
