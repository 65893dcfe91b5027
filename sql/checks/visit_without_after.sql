-- title: Visits that end without an 'after'
-- likely: the reading as the car left was not taken, or its rows are in a file that is not loaded
-- mend: load the missing rows; if the car was only looked at, it is a check visit
-- p_mistake is NULL: the car may really not have been read again.
with
corners as (
    select
        vehicle,
        visit,
        corner,
        any_value(chassis) as chassis,
        bool_or(phase = 'after') as has_after,
        arg_max(phase, phase_order) as last_phase,
        any_value(visit_kind) as visit_kind,
        arg_max(source_file, phase_order) as source_file,
        arg_max(source_line, phase_order) as source_line
    from placements
    where visit_kind in ('install', 'adjust', 'session')
    group by vehicle, visit, corner
)
select
    any_value(chassis) as chassis,
    vehicle,
    case when count(*) = 1 then any_value(corner) end as corner,
    visit,
    format(
        '{} visit, nothing after "{}" for {}', any_value(visit_kind), max(last_phase),
        string_agg(corner, ', ' order by corner)
    ) as finding,
    cast(null as double) as p_mistake,
    min(source_file) as source_file,
    arg_min(source_line, (source_file, source_line)) as source_line
from corners
where not has_after
group by vehicle, visit
