-- The cars of the page, newest read first: 24 at most, or the one that was chosen.
select vehicle, chassis, place, car_count, visit_count, first_day, last_day
from page_cars($vehicle::varchar, 24)
order by place
