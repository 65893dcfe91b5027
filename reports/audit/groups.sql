-- Hit shares, spread and capability: over all, and by technician, gauge, kit and chassis; label: the name with its count.
with
nameless as (
    select coalesce($anonymous::boolean, false) as anonymous
),
every_split as (
    select * from audited('technician', null, 1.65, 30, (select anonymous from nameless)) where split_by <> 'overall'
    union all
    select * from audited('gauge', null, 1.65, 30, false) where split_by <> 'overall'
    union all
    select * from audited('kit', null, 1.65, 30, false) where split_by <> 'overall'
    union all
    select * from audited('chassis', null, 1.65, 30, false)
)
select *, "group" || ' (' || count || ')' as label
from every_split
order by split_by, response, rank, "group"
