-- title: What the ends of the scale leave of a slip
-- grain: one row per chassis and pair of distances to the ends of a slot
-- source: session_corners, drift_components
-- missing: none
-- A bearing cannot slide past the ends of its scale; a millimetre for the plate's own play.
-- column chassis VARCHAR: platform code
-- column low_mm DOUBLE [mm]: farthest slide along the slot to its lower end
-- column high_mm DOUBLE [mm]: to its upper end
-- column up_shares DOUBLE[]: probability that a slip of each size class up the scale stays within both, at least one in a million
-- column down_shares DOUBLE[]: the same for a slip down the scale
with
chassis_ends as (
    select distinct chassis, low_mm, high_mm
    from session_corners
    where freedom = 'slot' and low_mm is not null and high_mm is not null
),
-- Chassis share their ends, and normal_cdf costs.
ends as (
    select distinct low_mm, high_mm from chassis_ends
),
slips as (
    select component, mean, sd from drift_components where pattern = 'slip'
),
shares as (
    select
        low_mm,
        high_mm,
        list(
            greatest(
                normal_cdf((high_mm + 1 - mean) / sd) - normal_cdf((low_mm - 1 - mean) / sd), 1e-6
            ) order by component
        ) as up_shares,
        list(
            greatest(
                normal_cdf((high_mm + 1 + mean) / sd) - normal_cdf((low_mm - 1 + mean) / sd), 1e-6
            ) order by component
        ) as down_shares
    from ends
    cross join slips
    group by low_mm, high_mm
)
select
    chassis,
    low_mm,
    high_mm,
    up_shares,
    down_shares
from chassis_ends
inner join shares using (low_mm, high_mm)
