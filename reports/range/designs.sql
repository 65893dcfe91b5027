-- Share of corners reached in the best index when the middle of the slot (at index 1) or its direction is changed, its length as it is:
-- the first 6 chassis and targets, the kit that most corners carry. Bands as in coverage.sql.
with
first_kit as (
    select kit from range_kits($kit::varchar) where kit_rank = 1
),
variants as (
    select
        list({
            'name': name, 'value': value, 'need_out': cast(0 as double), 'need_aft': cast(0 as double),
            'centre_out_mm': case name when 'middle out' then value else cast(0 as double) end,
            'centre_aft_mm': case name when 'middle aft' then value else cast(0 as double) end,
            'turn_deg': case name when 'angle' then value else cast(0 as double) end
        } order by name, value) as variants
    from (
        select 'middle out' as name, cast(unnest(range(-12, 13)) as double) as value
        union all
        select 'middle aft' as name, cast(unnest(range(-12, 13)) as double) as value
        union all
        select 'angle' as name, 5 * cast(unnest(range(-18, 19)) as double) as value
    )
),
present as (
    select chassis, target, effective_count
    from ranged($chassis::varchar, (select kit from first_kit), $target::varchar)
    where plate_index is null and kit is not null
),
shares as (
    select
        group_rank,
        best.chassis,
        best.target,
        best.kit,
        variant,
        variant_value,
        count(*) filter (where required_mm <= half_length_mm + 1e-9) / count(*) as share
    from best_reaches(
        $chassis::varchar, (select kit from first_kit), $target::varchar, (select variants from variants)
    ) as best
    inner join range_groups($chassis::varchar, $target::varchar) as groups
        on groups.chassis = best.chassis and groups.target = best.target
    where group_rank <= 6
    group by group_rank, best.chassis, best.target, best.kit, variant, variant_value
)
select
    group_rank,
    shares.chassis,
    shares.target,
    kit,
    variant,
    variant_value as change,
    share,
    wilson_low(share * effective_count, effective_count) as low,
    wilson_high(share * effective_count, effective_count) as high
from shares
inner join present using (chassis, target)
order by group_rank, variant, change
