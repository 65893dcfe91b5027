-- What the checks found, surest first: open ones (at least as likely mistake as chance, and not the consequence of another one), 200 at
-- most, with the count of all. Readings are counted where nothing was found too.
select
    "check" as check_name,
    title,
    likely,
    mend,
    chassis,
    vehicle,
    corner,
    visit,
    finding,
    p_mistake,
    file as source_file,
    line as source_line,
    count(*) over () as open_count,
    (select count(*) from readings) as reading_count
from suspects
where coalesce(p_mistake, 1) >= 0.5 and explained_by is null
order by p_mistake desc nulls last, check_name, source_file, source_line, vehicle, visit, corner, finding
limit 200
