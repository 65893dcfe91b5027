-- The parts of the boxes: how many of the shafts each goes on, in how many best stacks it is, and how many pieces the smallest box
-- that serves the same shafts takes.
with
found as materialized (
    select kit, shaft, rank, parts
    from stacks($kit::varchar, null::varchar, false, null::double, cast(map {} as map(varchar, double)), 40)
    where sound
),
best as (
    select kit, shaft, unnest(parts) as part from found where rank = 1
),
used as (
    select kit, part, count(distinct shaft) as best_count from best group by kit, part
),
usable as (
    select kit, part, count(*) as sound_count
    from sound_parts($kit::varchar, null::varchar, false, null::double, cast(map {} as map(varchar, double)))
    group by kit, part
),
smallest as (
    select * from smallest_box((select list(found) from found))
)
select
    kit,
    part,
    role,
    any_value(fits_diameter_mm) as fits_diameter_mm,
    any_value(height_nm) / 1e6 as height_mm,
    any_value(tol_nm) / 1e6 as height_tol_mm,
    any_value(part_count) as part_count,
    any_value(required) as required,
    count(*) as shaft_count,
    count(*) filter (fits) as fits_count,
    coalesce(any_value(sound_count), 0) as sound_count,
    coalesce(any_value(best_count), 0) as best_count,
    coalesce(any_value(smallest.piece_count), 0) as smallest_count
from stack_parts()
left join used using (kit, part)
left join usable using (kit, part)
left join smallest using (kit, part)
where kit = $kit or $kit::varchar is null
group by kit, part, role
order by kit, min(source_line), part
