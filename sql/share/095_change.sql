-- Changes without a gauge are judged together with those of the other sites.
with
corners as (
    select
        list_sort(list({
            'response': response,
            'change_deg': change_deg,
            'before_count': before_count,
            'after_count': after_count
        })) as changes
    from session_changes
    where before_gauge is null and after_gauge is null
    group by vehicle, corner, visit
),
numbered as (
    select row_number() over (order by changes) as cell, changes
    from corners
)
select
    cell,
    unnest(changes, recursive := true)
from numbered
