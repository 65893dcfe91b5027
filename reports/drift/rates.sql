-- How often plates slip, per factor and level.
select
    *,
    case factor
        when 'plate_index' then 'index ' || level
        when 'bearing' then replace(level, '_', ' ')
        when 'all' then 'all corners'
        else level
    end as name
from slip_rates
order by list_position(['all', 'surface', 'kit', 'bearing', 'plate_index'], factor), level
