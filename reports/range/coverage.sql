-- Share of corners reached in the best index as a function of the half-length of the slot, its middle and direction as they are:
-- the first 6 chassis and targets, the first 3 kits. Bands: Wilson with the effective number of corners of the kit as it is.
with
curves as (
    select groups.group_rank, kits.kit_rank, best.*
    from best_reaches($chassis::varchar, $kit::varchar, $target::varchar, [as_it_is()]) as best
    inner join range_groups($chassis::varchar, $target::varchar) as groups
        on groups.chassis = best.chassis and groups.target = best.target
    inner join range_kits($kit::varchar) as kits on kits.kit = best.kit
    where group_rank <= 6 and kit_rank <= 3
),
present as (
    select chassis, target, kit, effective_count
    from ranged($chassis::varchar, $kit::varchar, $target::varchar)
    where plate_index is null and kit is not null
),
shares as (
    select
        group_rank,
        kit_rank,
        curves.chassis,
        curves.target,
        curves.kit,
        half_length_mm as present_mm,
        length_mm,
        count(*) filter (where required_mm <= length_mm + 1e-9) / count(*) as share
    from curves
    cross join (select cast(unnest(range(0, 51)) as double) / 2 as length_mm)
    group by group_rank, kit_rank, curves.chassis, curves.target, curves.kit, half_length_mm, length_mm
)
select
    group_rank,
    kit_rank,
    shares.chassis,
    shares.target,
    shares.kit,
    'kit ' || kit_rank as drawn_as,
    length_mm,
    share,
    wilson_low(share * effective_count, effective_count) as low,
    wilson_high(share * effective_count, effective_count) as high,
    case when abs(length_mm - present_mm) <= 0.25 then share end as present_share
from shares
inner join present using (chassis, target, kit)
order by group_rank, kit_rank, length_mm
