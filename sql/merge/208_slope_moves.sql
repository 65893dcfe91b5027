-- The moves of all sites, each with the caster at which its camber is read.
with
casters as (
    select chassis, caster_deg, sum(state_count) as state_count
    from shared
    where kind = 'caster'
    group by chassis, caster_deg
),
counted as (
    select
        chassis,
        caster_deg,
        sum(state_count) over (partition by chassis order by caster_deg) as up_to_count,
        sum(state_count) over (partition by chassis) as all_count
    from casters
),
-- The two states in the middle, one where their number is odd.
chassis_caster as (
    select
        chassis,
        list_median([
            min(case when 2 * up_to_count >= all_count then caster_deg end),
            min(case when 2 * up_to_count > all_count then caster_deg end)
        ]) as caster_deg
    from counted
    group by chassis
)
select
    vehicle,
    chassis,
    corner,
    -- A move is known by its number alone: which moves are of one visit was not shared.
    cast(row_number() over () as varchar) as visit,
    'before' as from_phase,
    'after' as to_phase,
    -- Kits of one name at two sites are taken for two.
    case when kit_change is not null then site || ' ' || kit_change end as kit_change,
    response,
    move_out_mm,
    move_aft_mm,
    mid_out_mm,
    mid_aft_mm,
    case
        when open_toe_change_deg is null then change_deg
        else round(change_deg + coalesce(tan_deg(chassis_caster.caster_deg) * open_toe_change_deg, 0), 6)
    end as change_deg,
    case
        when open_toe_change_deg is not null and chassis_caster.caster_deg is not null then 'measured'
        when open_toe_change_deg is not null and equal_toe = 'unknown' then 'no caster'
        else equal_toe
    end as equal_toe,
    weight,
    read_error_oo_mm2,
    read_error_oa_mm2,
    read_error_aa_mm2,
    site as source_file
from shared
left join chassis_caster using (chassis)
where kind = 'move'
