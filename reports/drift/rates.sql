-- How often plates slip, per factor and level; levels of several factors that are the same corner sessions stand in one row.
select slip_rates.*, name
from slip_rates
inner join slip_groups() as groups on groups.factor = slip_rates.factor and groups.level = slip_rates.level
where place = group_place
order by place
