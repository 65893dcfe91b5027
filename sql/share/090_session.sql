-- The noise of a gauge with a name comes from its own changes alone, so two numbers stand for them.
select
    number as gauge,
    response,
    change_count,
    sd_deg
from undisturbed_spreads
inner join gauge_numbers using (gauge)
