-- title: How often plates slip
-- grain: one row per factor and level: all, surface, kit, bearing, plate index
-- source: drift, sessions, kits
-- missing: per_100_km_* are NULL where no distance was written down; a corner session without its level (blank surface) is left out
-- Expected slips: sum of the probabilities that the plate moved, so that unclear sessions count in part. Limits are exact for whole
-- numbers (Clopper and Pearson for the share of sessions, gamma for the rate per distance) and carried on to broken ones. Corner
-- sessions count as independent; drivers, circuits and kits were not drawn by lot.
-- column factor VARCHAR: all surface kit bearing plate_index
-- column level VARCHAR: value of the factor
-- column corner_session_count BIGINT: front corners over sessions, on a kit
-- column slip_count BIGINT: verdict plate_moved
-- column unclear_count BIGINT: verdict unclear
-- column expected_slip_count DOUBLE: expected number of slips
-- column per_session DOUBLE: expected slips over corner sessions
-- column per_session_low DOUBLE: 95 % interval
-- column per_session_high DOUBLE: 95 % interval
-- column corner_km DOUBLE [km]: distance of the corner sessions for which it was written down
-- column per_100_km DOUBLE: expected slips over that distance, per 100 km
-- column per_100_km_low DOUBLE: 95 % interval
-- column per_100_km_high DOUBLE: 95 % interval
with
bearings as (
    select kit, min(bearing) as bearing from kits group by kit having count(distinct bearing) = 1
),
corner_sessions as (
    select drift.*, surface, distance_km, bearings.bearing
    from drift
    left join sessions on sessions.session = drift.session and sessions.vehicle = drift.vehicle
    left join bearings on bearings.kit = drift.kit
    where drift.kit is not null and p_plate_moved is not null
),
levels as (
    select
        p_plate_moved,
        verdict,
        distance_km,
        unnest([
            {'factor': 'all', 'level': 'all'},
            {'factor': 'surface', 'level': surface},
            {'factor': 'kit', 'level': kit},
            {'factor': 'bearing', 'level': bearing},
            {'factor': 'plate_index', 'level': cast(plate_index as varchar)}
        ], recursive := true)
    from corner_sessions
),
counted as (
    select
        factor,
        level,
        count(*) as n,
        count(*) filter (where verdict = 'plate_moved') as slip_count,
        count(*) filter (where verdict = 'unclear') as unclear_count,
        exact_sum(p_plate_moved) as expected,
        exact_sum(case when distance_km > 0 then p_plate_moved end) as expected_with_km,
        exact_sum(case when distance_km > 0 then distance_km end) as corner_km
    from levels
    where level is not null
    group by factor, level
)
select
    factor,
    level,
    n as corner_session_count,
    slip_count,
    unclear_count,
    expected as expected_slip_count,
    expected / n as per_session,
    clopper_pearson_low(expected, n) as per_session_low,
    clopper_pearson_high(expected, n) as per_session_high,
    corner_km,
    100 * expected_with_km / corner_km as per_100_km,
    100 * rate_low(expected_with_km, corner_km) as per_100_km_low,
    100 * rate_high(expected_with_km, corner_km) as per_100_km_high
from counted
