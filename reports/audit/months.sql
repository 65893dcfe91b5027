-- P chart: share of visits that missed an angle of their target, as read, per month.
select
    "group" as month,
    count - hit_count as miss_count,
    count,
    (count - hit_count) / count as miss_share,
    chart_centre,
    chart_low,
    chart_high,
    case
        when (count - hit_count) / count between chart_low and chart_high then 'within the limits'
        else 'beyond the limits'
    end as state
from audited('month', null, 1.65, 30, false)
where split_by = 'month' and response = 'all'
order by month
