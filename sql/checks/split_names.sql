-- title: One name in two spellings
-- likely: one car, chassis, kit, target, person, gauge or visit that was written in two ways, and so is split in two
-- mend: if both are one, correct the rarer name and load its rows again; what is known of each half alone answers for the whole till then
-- Names that differ only in letter case, Unicode form, spaces or dashes are one thing with odds 50 : 1 (from memory). A car or chassis of
-- two visits at most whose name is one letter off a well-known one, within a word of four letters or more (digits and shorter words tell
-- things apart): mistyped once in 200 visits, against the share of known names that have such a neighbour, 1 in 20 with the weight of 10
-- names until the field tells. Kits and targets that no table has are another check's.
with
car_visits as (
    select
        vehicle,
        visit,
        chassis,
        count(*) as reading_count,
        min({'file': source_file, 'line': source_line, 'chassis': chassis, 'vehicle': vehicle, 'visit': visit}) as place
    from readings
    group by vehicle, visit, chassis
),
people as (
    select
        unnest(['technician', 'gauge']) as subject,
        unnest([technician, gauge]) as name,
        count(*) as reading_count,
        min({'file': source_file, 'line': source_line, 'chassis': chassis, 'vehicle': vehicle, 'visit': visit}) as place
    from readings
    group by technician, gauge
),
names as (
    select
        'car' as subject,
        vehicle as name,
        '' as owner,
        min(chassis) as kind,
        count(distinct visit) as visit_count,
        sum(reading_count) as reading_count,
        min(place) as place
    from car_visits
    group by vehicle
    union all
    select 'chassis', chassis, '', '', count(distinct (vehicle, visit)), sum(reading_count), min(place)
        from car_visits group by chassis
    union all
    select 'visit', visit, vehicle, '', 1, sum(reading_count), min(place) from car_visits group by vehicle, visit
    union all
    select subject, name, '', '', null, sum(reading_count), min(place) from people
        where name is not null group by subject, name
    union all
    select 'kit', kit, '', '', null, null,
        min({'file': source_file, 'line': source_line, 'chassis': null, 'vehicle': null, 'visit': null})
    from kits group by kit
    union all
    select 'target', target, '', '', null, null,
        min({'file': source_file, 'line': source_line, 'chassis': null, 'vehicle': null, 'visit': null})
    from targets group by target
),
keyed as materialized (
    select *, name_key(name) as key, case when reading_count > 1 then 's' else '' end as plural
    from names
),
known_spellings as (
    select subject, owner, key,
        arg_min({'name': name, 'reading_count': reading_count}, (coalesce(-reading_count, 0), place, name)) as known
    from keyed
    group by subject, owner, key
    having count(*) > 1
),
-- Words of four letters or more are what may be mistyped; the rest tells things apart. NULL without any.
worded as materialized (
    select subject, name, kind, visit_count, reading_count, plural, place, key,
        nullif(regexp_replace(key, '\p{L}{4,}', '*', 'g'), key) as frame
    from keyed
    where subject in ('car', 'chassis') and length(key) <= 100
),
-- Two names are one letter apart where they become the same by leaving out a letter of either at one place, or of the longer one
-- alone; at neighbouring places two letters are exchanged.
shortened as (
    select *, unnest(range(0, length(key) + 1)) as place_out,
        case when place_out = 0 then key else left(key, place_out - 1) || substr(key, place_out + 1) end as shortened
    from worded
    semi join (select subject, kind, frame from worded where visit_count >= 3) as known using (subject, kind, frame)
),
neighbours as (
    select distinct one.subject, one.name, other.name as other_name, other.visit_count as other_visit_count,
        other.reading_count as other_reading_count
    from shortened as one
    inner join shortened as other
        on other.subject = one.subject
        and other.kind = one.kind
        and other.frame = one.frame
        and other.shortened = one.shortened
        and other.key <> one.key
        and other.visit_count >= 3
    where one.place_out = 0 or other.place_out = 0 or abs(one.place_out - other.place_out) <= 1
),
-- How many well-known names have a well-known neighbour.
fields as (
    select subject,
        (0.5 + count(*) filter (where name in (
            select neighbours.name from neighbours where neighbours.subject = worded.subject
        ))) / (10 + count(*)) as neighbour_share
    from worded
    where visit_count >= 3 and frame is not null
    group by subject
),
mistyped as (
    select
        subject,
        name,
        arg_max(
            {'name': other_name, 'visit_count': other_visit_count, 'reading_count': other_reading_count},
            (other_visit_count, other_name)
        ) as known
    from neighbours
    where other_visit_count >= 5
    group by subject, name
),
found as (
    select
        place,
        format(
            '{} "{}"{} differs from "{}"{} only in {}',
            subject,
            name,
            coalesce(' (' || cast(reading_count as bigint) || ' reading' || plural || ')', ''),
            known.name,
            coalesce(' (' || cast(known.reading_count as bigint) || ')', ''),
            name_difference(name, known.name)
        ) as finding,
        posterior(50, 0) as p_mistake
    from keyed
    inner join known_spellings using (subject, owner, key)
    where name <> known.name
    union all
    select
        place,
        format(
            '{} "{}" ({:d} reading{}) is one letter off "{}" ({:d})',
            subject, name, cast(worded.reading_count as bigint), plural, known.name, cast(known.reading_count as bigint)
        ) as finding,
        posterior(known.visit_count / 200.0 / neighbour_share, 0) as p_mistake
    from worded
    inner join mistyped using (subject, name)
    inner join fields using (subject)
    where visit_count <= 2 and known.visit_count >= 5
)
select
    place.chassis as chassis,
    place.vehicle as vehicle,
    cast(null as varchar) as corner,
    place.visit as visit,
    finding,
    p_mistake,
    place.file as source_file,
    place.line as source_line
from found
where p_mistake >= 0.5
