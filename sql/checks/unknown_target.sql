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
        min({'file': source_file, 'line': source_line, 'vehicle': vehicle, 'visit': visit}) as place
    from readings
    where target is not null
    group by target, chassis
),
unknown as (
    from named
    where not exists (
        select 1 from targets where targets.target = named.target
            and (targets.chassis = named.chassis or targets.chassis is null)
    )
),
other_chassis as (
    select target, string_agg(distinct chassis, ', ' order by chassis) as chassis_list from targets group by target
),
nearest as (
    select named.target,
        arg_min(
            targets.target, (damerau_levenshtein(name_key(named.target), name_key(targets.target)), targets.target)
        ) as known
    from (select distinct target from unknown) as named
    cross join (select distinct target from targets) as targets
    where damerau_levenshtein(
        name_key(named.target), name_key(targets.target)
    ) <= greatest(1, least(length(named.target), 8) // 4)
    group by named.target
)
select
    named.chassis,
    place.vehicle as vehicle,
    cast(null as varchar) as corner,
    place.visit as visit,
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
    place.file as source_file,
    place.line as source_line
from unknown as named
left join other_chassis using (target)
left join nearest using (target)
