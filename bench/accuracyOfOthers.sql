-- The same of another program's slopes ($theirs): plain by least squares, robust by a bisquare M-estimate.
with
truth as (
    select * from read_csv('$truth')
),
theirs as (
    unpivot (
        select chassis, response || '_deg' as response, plain_out, plain_aft, robust_out, robust_aft
        from read_csv('$theirs')
    )
    on plain_out, plain_aft, robust_out, robust_aft into name kind value slope
)
select
    split_part(kind, '_', 1) as name,
    cast(count(*) as integer) as slope_count,
    sqrt(avg(power(slope / true_deg_per_mm - 1, 2))) as rms
from theirs
inner join truth
    on truth.chassis = theirs.chassis
    and truth.response = theirs.response
    and truth.axis = split_part(kind, '_', 2)
group by all
order by name
