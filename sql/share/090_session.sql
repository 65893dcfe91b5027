select
    number as gauge,
    response,
    count(*) as change_count,
    any_value(sd_deg) as sd_deg
from undisturbed_changes
left join gauge_numbers using (gauge)
group by number, response
