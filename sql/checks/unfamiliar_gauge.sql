-- title: A gauge seen in one visit only
-- likely: another spelling of a known gauge, or new equipment that nobody knows yet
-- mend: correct the spelling and load the rows with --replace; if it is new, read some corners with it and with a known gauge
-- p_mistake is NULL: a new gauge looks the same. Said only where another gauge has been used in five visits or more.
with
gauges as (
    select
        gauge,
        count(distinct (vehicle, visit)) as visit_count,
        count(*) as reading_count,
        any_value(chassis) as chassis,
        any_value(vehicle) as vehicle,
        any_value(visit) as visit,
        min(source_file) as source_file,
        arg_min(source_line, (source_file, source_line)) as source_line
    from readings
    where gauge is not null
    group by gauge
),
known as (
    select gauge as known_gauge from gauges where visit_count >= 5
),
nearest as (
    select gauge, arg_min(
        known_gauge, (damerau_levenshtein(lower(gauge), lower(known_gauge)), known_gauge)
    ) as known_gauge
    from gauges
    cross join known
    where visit_count = 1
        and damerau_levenshtein(lower(gauge), lower(known_gauge)) <= greatest(1, least(length(gauge), 8) // 4)
    group by gauge
)
select
    chassis,
    vehicle,
    cast(null as varchar) as corner,
    visit,
    format(
        'gauge "{}" has {}{}',
        gauge,
        case when reading_count = 1 then 'one reading' else format('{} readings in this visit only', reading_count) end,
        case when known_gauge is null then '' else format('; "{}" is known', known_gauge) end
    ) as finding,
    cast(null as double) as p_mistake,
    source_file,
    source_line
from gauges
left join nearest using (gauge)
where visit_count = 1
    and exists (select 1 from known)
    -- Another spelling of a gauge is found by split_names.
    and name_key(gauge) not in (select name_key(other.gauge) from gauges as other group by all having count(*) > 1)
