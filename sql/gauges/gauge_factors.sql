-- title: Levels that may shift a reading: gauges, people, or confounded pairs
-- grain: one row per angle and level of a factor
-- source: gauge_comparisons, readers
-- missing: none; readings without a gauge are a level of their own, '(not named)'; those without a person take part without a level
-- Where each person uses only one of several gauges, nobody can tell the two apart: they are confounded, and the level is the pair.
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column kind VARCHAR: gauge technician pair
-- column name VARCHAR: gauge, person, or both
-- column gauge VARCHAR: gauge of the level; NULL for a person, and for readings without one
-- column technician VARCHAR: person of the level; NULL for a gauge
-- column level INTEGER: number within the angle, gauges first
with
usage as (
    select technician, count(distinct gauge) as gauge_count
    from readers
    where technician is not null and gauge is not null
    group by technician
),
design as (
    select
        (select count(distinct gauge) from readers) > 1
            and (select count(*) from usage) > 0
            and (select max(gauge_count) from usage) = 1 as confounded
),
met as (
    select response, gauge_1 as gauge, technician_1 as technician from gauge_comparisons
    union
    select response, gauge_2 as gauge, technician_2 as technician from gauge_comparisons
),
named as (
    select distinct
        response,
        'gauge' as kind,
        coalesce(gauge, '(not named)') as name,
        gauge,
        cast(null as varchar) as technician
    from met
    where not (select confounded from design)
    union all
    select distinct response, 'technician' as kind, technician as name, cast(null as varchar) as gauge, technician
    from met
    where technician is not null and not (select confounded from design)
    union all
    select distinct
        response,
        'pair' as kind,
        coalesce(gauge, '(not named)') || coalesce(' with ' || technician, '') as name,
        gauge,
        technician
    from met
    where (select confounded from design)
)
select
    response,
    kind,
    name,
    gauge,
    technician,
    cast(row_number() over (partition by response order by kind, name) as integer) as level
from named
