-- Displays of the gauges.
select
    number as gauge,
    response,
    step_deg
from display_steps
left join gauge_numbers using (gauge)
