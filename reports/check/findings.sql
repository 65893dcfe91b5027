-- What the checks found, surest first: open ones (at least as likely mistake as chance, and not the consequence of another one), 200 at
-- most, with the count of all.
with
open_ones as (
    select * from suspects() where coalesce(p_mistake, 1) >= 0.5 and explained_by is null
)
select
    check_name,
    title,
    likely,
    mend,
    chassis,
    vehicle,
    corner,
    visit,
    finding,
    p_mistake,
    source_file,
    source_line,
    count(*) over () as open_count,
    (select count(*) from readings) as reading_count
from open_ones
order by p_mistake desc nulls last, check_name, source_file, source_line, vehicle, visit, corner, finding
limit 200
