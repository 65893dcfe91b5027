-- The noise of a gauge with a name comes from its own changes alone, so two numbers stand for them.
select
    number as gauge,
    response,
    count(*) as change_count,
    any_value(sd_deg) as sd_deg
from undisturbed_changes
inner join gauge_numbers using (gauge)
group by number, response
