-- title: How often plates slip
-- grain: one row per factor and level: all, surface, kit, bearing, plate index
-- source: drift, sessions, kits
-- missing: per_100_km_* are NULL where no distance was written down; a corner session without its level (blank surface) is left out
-- Expected slips: sum of the probabilities that the plate moved, so that unclear sessions count in part. Limits are exact for whole
-- numbers (Clopper and Pearson for the share of sessions, gamma for the rate per distance) and carried on to broken ones. The car is the
-- cluster, for one that is badly bolted slips again and again: slips and sessions are divided by a design effect (Rao and Scott 1992,
-- Biometrics 48, 577-585), from the correlation within cars, by moments; of all cars with 0.05 at the weight of two, from memory, of
-- a level with that of all at the weight of ten. Drivers, circuits and kits were not drawn by lot.
-- column factor VARCHAR: all surface kit bearing plate_index
-- column level VARCHAR: value of the factor
-- column corner_session_count BIGINT: front corners over sessions, on a kit
-- column car_count BIGINT: cars that they come from
-- column design_effect DOUBLE: corner sessions that count as one independent one
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
        vehicle,
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
by_car as (
    select
        factor,
        level,
        count(*) as n,
        count(*) filter (where verdict = 'plate_moved') as slip_count,
        count(*) filter (where verdict = 'unclear') as unclear_count,
        exact_sum(p_plate_moved) as expected,
        exact_sum(p_plate_moved * p_plate_moved) as square,
        exact_sum(case when distance_km > 0 then p_plate_moved end) as expected_with_km,
        exact_sum(case when distance_km > 0 then distance_km end) as corner_km
    from levels
    where level is not null
    group by factor, level, vehicle
),
counted as (
    select
        factor,
        level,
        count(*) as car_count,
        cast(sum(n) as bigint) as n,
        cast(sum(slip_count) as bigint) as slip_count,
        cast(sum(unclear_count) as bigint) as unclear_count,
        exact_sum(expected) as expected,
        exact_sum(square) as square,
        exact_sum(expected * expected) as square_cars,
        exact_sum(expected * n) as product_cars,
        sum(n * n) as count_count_cars,
        exact_sum(expected_with_km) as expected_with_km,
        exact_sum(corner_km) as corner_km
    from by_car
    group by factor, level
),
alike as (
    select *, icc(n, expected, square, square_cars, product_cars, count_count_cars) as found
    from counted
),
clustered as (
    select
        alike.*,
        icc_used(of_all.found, of_all.car_count, 0.05, 2) as icc_of_all,
        design_effect(
            case when factor = 'all' then icc_of_all else icc_used(alike.found, alike.car_count, icc_of_all, 10) end,
            n, count_count_cars
        ) as effect
    from alike
    cross join (select found, car_count from alike where factor = 'all') as of_all
)
select
    factor,
    level,
    n as corner_session_count,
    car_count,
    effect as design_effect,
    slip_count,
    unclear_count,
    expected as expected_slip_count,
    expected / n as per_session,
    clopper_pearson_low(expected / effect, n / effect) as per_session_low,
    clopper_pearson_high(expected / effect, n / effect) as per_session_high,
    corner_km,
    100 * expected_with_km / corner_km as per_100_km,
    100 * rate_low(expected_with_km / effect, corner_km / effect) as per_100_km_low,
    100 * rate_high(expected_with_km / effect, corner_km / effect) as per_100_km_high
from clustered
