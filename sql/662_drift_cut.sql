-- title: From which probability on a class is named
-- grain: one row
-- source: drift_corners, drift_rules
-- missing: p_class is NULL where no class may be named
-- Classes that may be named are taken from the surest down while the mean probability that one is wrong stays within
-- false_discovery_rate of drift_rules (Bayesian false discovery rate; Newton, Noueiry, Sarkar and Ahlquist 2004, Biostatistics 5,
-- 155-176; from memory); equal ones together.
-- column p_class DOUBLE: probability of the class of the last one that is named
-- column named_count BIGINT: corner sessions whose class is named
-- column wrong_count DOUBLE: of those, expected to be wrong
with
controlled as (
    select
        p_class,
        avg(p_wrong) over (order by p_class desc range between unbounded preceding and current row) as share_wrong
    from drift_corners
    where may_be_named
)
select
    any_value(last.p_class) as p_class,
    count(named.p_class) as named_count,
    coalesce(grid_sum(named.p_wrong), 0) as wrong_count
from (
    select min(p_class) as p_class
    from controlled
    cross join drift_rules
    where share_wrong <= false_discovery_rate
) as last
left join drift_corners as named on named.may_be_named and named.p_class >= last.p_class
