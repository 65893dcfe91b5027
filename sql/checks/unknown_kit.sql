-- title: Kits that the readings name and the kits table does not have
-- likely: another spelling of a kit, or a kits file that is not loaded
-- mend: load the kits file, or correct the name and load the rows with --replace; without it marks give no offset
-- p_mistake is 1: without its row a kit's marks mean nothing.
with
named as (
    select
        kit,
        chassis,
        count(distinct (vehicle, visit)) as visit_count,
        min({'file': source_file, 'line': source_line, 'vehicle': vehicle, 'visit': visit}) as place
    from readings
    where kit is not null
    group by kit, chassis
),
unknown as (
    from named
    where not exists (
        select 1 from kits where kits.kit = named.kit and (kits.chassis = named.chassis or kits.chassis is null)
    )
),
other_chassis as (
    select kit, string_agg(distinct chassis, ', ' order by chassis) as chassis_list from kits group by kit
),
nearest as (
    select named.kit, arg_min(
        kits.kit, (damerau_levenshtein(name_key(named.kit), name_key(kits.kit)), kits.kit)
    ) as known
    from (select distinct kit from unknown) as named
    cross join (select distinct kit from kits) as kits
    where damerau_levenshtein(name_key(named.kit), name_key(kits.kit)) <= greatest(1, least(length(named.kit), 8) // 4)
    group by named.kit
)
select
    named.chassis,
    place.vehicle as vehicle,
    cast(null as varchar) as corner,
    place.visit as visit,
    format(
        'kit "{}" is named in {} ({}){}',
        named.kit,
        case when visit_count = 1 then 'this visit' else format('{} visits', visit_count) end,
        named.chassis,
        case
            when other_chassis.kit is not null then format(', the table has it for {} only', chassis_list)
            when known is not null then format('; the table has "{}"', known)
            else ''
        end
    ) as finding,
    cast(1 as double) as p_mistake,
    place.file as source_file,
    place.line as source_line
from unknown as named
left join other_chassis using (kit)
left join nearest using (kit)
