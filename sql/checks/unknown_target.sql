-- title: Targets that the readings name and the targets table does not have
-- likely: another spelling of a target, or a targets file that is not loaded
-- mend: load the targets file, or correct the name and load the rows with --replace
-- p_mistake is 1: without its row a target has no numbers.
with
named as (
    select
        target,
        chassis,
        count(distinct (vehicle, visit)) as visit_count,
        any_value(vehicle order by source_file, source_line) as vehicle,
        any_value(visit order by source_file, source_line) as visit,
        min(source_file) as source_file,
        arg_min(source_line, (source_file, source_line)) as source_line
    from readings
    where target is not null
    group by target, chassis
),
other_chassis as (
    select target, string_agg(distinct chassis, ', ' order by chassis) as chassis_list from targets group by target
),
nearest as (
    select named.target,
        arg_min(
            targets.target, (damerau_levenshtein(name_key(named.target), name_key(targets.target)), targets.target)
        ) as known
    from (select distinct target from named) as named
    cross join (select distinct target from targets) as targets
    where damerau_levenshtein(
        name_key(named.target), name_key(targets.target)
    ) <= greatest(1, least(length(named.target), 8) // 4)
    group by named.target
)
select
    named.chassis,
    vehicle,
    cast(null as varchar) as corner,
    visit,
    format(
        'target "{}" is named in {} ({}){}',
        named.target,
        case when visit_count = 1 then 'this visit' else format('{} visits', visit_count) end,
        named.chassis,
        case
            when other_chassis.target is not null then format(', the table has it for {} only', chassis_list)
            when known is not null then format('; the table has "{}"', known)
            else ''
        end
    ) as finding,
    cast(1 as double) as p_mistake,
    source_file,
    source_line
from named
left join other_chassis using (target)
left join nearest using (target)
where not exists (
    select 1 from targets where targets.target = named.target
        and (targets.chassis = named.chassis or targets.chassis is null)
)
