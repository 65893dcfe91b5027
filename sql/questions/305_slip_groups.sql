-- Groups of corner sessions that slip_rates counts: one row per factor and level. Levels of several factors that are the same corner
-- sessions (each kit with a bearing of its own, one bolt position everywhere) are one group, named by all of them; told by equal counts
-- and sums of probabilities.
create or replace temp macro slip_groups() as table
with
named as (
    select
        *,
        case factor
            when 'plate_index' then 'index ' || level
            when 'bearing' then replace(level, '_', ' ')
            when 'all' then 'all corners'
            else level
        end as name,
        row_number() over (
            order by list_position(['all', 'surface', 'kit', 'bearing', 'plate_index'], factor), level
        ) as place
    from slip_rates
),
-- Levels of one factor are never the same sessions, whatever their counts.
numbered as (
    select
        *,
        row_number() over (
            partition by factor, corner_session_count, slip_count, unclear_count, expected_slip_count, corner_km
                order by level
        ) as alike
    from named
)
select
    factor,
    level,
    place,
    min(place) over same as group_place,
    case
        when count(*) over same = 1 then name
        else format('{} ({})', first(name) over same, list_aggregate((list(name) over same)[2:], 'string_agg', ', '))
    end as name
from numbered
window same as (
    partition by corner_session_count, slip_count, unclear_count, expected_slip_count, corner_km, alike
    order by place rows between unbounded preceding and unbounded following
);
