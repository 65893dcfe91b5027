-- The parts of the best stacks from the seat upward, with the heights above the seat between which each stands.
with
pieces as (
    select kit, shaft, unnest(parts) as part, generate_subscripts(parts, 1) as layer
    from stacks($kit::varchar, $shaft::varchar, false, null::double, cast(map {} as map(varchar, double)), 1)
)
select
    kit,
    shaft,
    layer,
    part,
    role,
    height_nm / 1e6 as height_mm,
    (sum(height_nm) over (partition by kit, shaft order by layer) - height_nm) / 1e6 as low_mm
from pieces
inner join stack_parts() using (kit, shaft, part)
order by kit, shaft, layer
