-- The best stack of each box on each shaft, or on the one chosen: those with drawings first.
select
    *,
    cast(row_number() over (order by sound desc, len(defects), kit, shaft) as integer) as place
from stacks($kit::varchar, $shaft::varchar, false, null::double, cast(map {} as map(varchar, double)), 1)
order by place
