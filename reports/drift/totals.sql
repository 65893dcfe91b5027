-- One row: what the page is about.
select
    count(distinct vehicle) as vehicle_count,
    count(distinct (vehicle, visit)) as session_count,
    count(*) as corner_count,
    count(*) filter (where verdict = 'held') as held_count,
    count(*) filter (where verdict = 'plate_moved') as plate_moved_count,
    count(*) filter (where verdict = 'bent') as bent_count,
    count(*) filter (where verdict = 'other') as other_count,
    count(*) filter (where verdict = 'unclear') as unclear_count,
    count(*) filter (where reason is not null) as untold_count,
    coalesce(
        sum(p_wrong order by vehicle, visit, corner) filter (where verdict in ('plate_moved', 'bent', 'other')), 0
    ) as expected_wrong,
    any_value(false_discovery_rate) as false_discovery_rate,
    any_value(min_moved) as min_moved,
    any_value(min_class) as min_class,
    (select sum(prior_share order by size) from drift_odds where cause = 'plate_slipped') as prior_slip_share,
    (select sum(share order by size) from drift_odds where cause = 'plate_slipped') as slip_share
from drift
cross join drift_rules
where $vehicle::varchar is null or vehicle = $vehicle
