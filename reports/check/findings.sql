-- What the checks found, surest first: open ones (at least as likely mistake as chance, and not the consequence of another one), 100 of
-- a check at most, with the counts of all.
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
    count(*) over (partition by "check") as check_count,
    count(*) over () as open_count,
    count(p_mistake) over () as mistake_count,
    (select count(*) from readings) as reading_count
from suspects
where coalesce(p_mistake, 1) >= 0.5 and explained_by is null
qualify row_number() over (
    partition by "check" order by p_mistake desc nulls last, source_file, source_line, vehicle, visit, corner, finding
) <= 100
order by p_mistake desc nulls last, check_name, source_file, source_line, vehicle, visit, corner, finding
