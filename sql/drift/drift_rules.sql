-- title: Decision thresholds of drift
-- grain: one row
-- source: our choice; a config file may set them
-- missing: none
-- column min_moved DOUBLE: probability from which something counts as moved
-- column min_class DOUBLE: share of that probability that the class named must hold
-- column min_held DOUBLE: probability from which a corner counts as held
-- column false_discovery_rate DOUBLE: share of wrong ones allowed among the classes named
select
    cast(0.5 as double) as min_moved,
    cast(0.7 as double) as min_class,
    cast(0.8 as double) as min_held,
    cast(0.05 as double) as false_discovery_rate
