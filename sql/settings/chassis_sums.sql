-- title: Sums of judged settings, as audits put them together
-- grain: one row per chassis and response with a setting that is judged
-- source: target_settings
-- missing: a sum over none is NULL
-- Whole numbers, so that they add up to those of all chassis without a rounding; see setting_sums. Guard band: 1.65 standard
-- uncertainties. An audit with another one, or by other groups, sums the settings themselves.
-- column chassis VARCHAR: platform code
-- column response VARCHAR: camber_deg caster_deg toe_deg cross_camber_deg cross_caster_deg
-- column count BIGINT: settings judged
-- column in_count BIGINT: of those inside with the guard band
-- column out_count BIGINT: outside
-- column undecided_count BIGINT: too near to a limit to tell
-- column hit_count BIGINT: inside the tolerance as read
-- column end_of_scale_count BIGINT: missed at the end of a scale
-- column far_off_count BIGINT: missed as mistakes of writing are
-- column own_count BIGINT: neither
-- column own_sum BIGINT: millionths of a degree, of those
-- column own_u_square_sum BIGINT: millionths, squares of their uncertainties in degrees
-- column z_count BIGINT: errors in tolerances
-- column z_sum BIGINT: millionths
-- column z_u_square_sum BIGINT: millionths, squares of their uncertainties
-- column z_true_square_sum BIGINT: the same of the standard uncertainties of the true angles
-- column z_bias_square_sum BIGINT: part of that from the biases of those who read
-- column edge_count BIGINT: in the outer quarter of the tolerance
-- column before_edge_count BIGINT: in the quarter before it
-- column came_count BIGINT: came from beyond the tolerance
-- column short_sum BIGINT: millionths of tolerances short, on the side from which they came
-- column car_count BIGINT: cars
-- column hit_hit_cars BIGINT: sum over the cars of squared hits
-- column hit_count_cars BIGINT: of hits times settings
-- column count_count_cars BIGINT: of squared settings
-- column z_count_cars BIGINT: of those sums times their number
-- column z_count_count_cars BIGINT: of their squared number
-- column short_count_cars BIGINT: of those sums times their number
-- column came_count_cars BIGINT: of their squared number
-- column own_square VARCHAR: squares of them, a whole number of up to 38 digits
-- column z_square VARCHAR: squares of them, a whole number of up to 38 digits
-- column short_square VARCHAR: squares of them, a whole number of up to 38 digits
-- column z_z_cars VARCHAR: of squared sums of errors in tolerances, millionths squared, a whole number of up to 38 digits
-- column short_short_cars VARCHAR: of squared sums of tolerances short, a whole number of up to 38 digits
with
judged as (
    select
        *,
        conformity(true_error_deg, tol_deg, u_deg, 1.65) as verdict,
        is_hit(error_deg, tol_deg) as hit,
        is_far_off(error_deg, tol_deg, u_deg, end_of_scale) as far_off,
        own_error(error_deg, end_of_scale, far_off) as own_deg,
        case when tol_deg > 0 then own_deg / tol_deg end as z,
        stopped_short(error_deg, tol_deg, found_error_deg, at_end) as short
    from target_settings
    where not_judged is null
),
by_car as (
    select
        chassis,
        response,
        vehicle,
        setting_sums(
            verdict, hit, end_of_scale, far_off, own_deg, scatter_u_deg, apart_u_deg, u_deg, z, tol_deg, short
        ) as sums
    from judged
    group by chassis, response, vehicle
),
summed as (
    select chassis, response, added_settings(sums) as sums, car_sums(sums) as cars
    from by_car
    group by chassis, response
),
opened as (
    select chassis, response, unnest(sums), unnest(cars)
    from summed
)
select
    chassis,
    response,
    cast(columns('(count|_sum|count_cars|hit_cars)$') as bigint) as "\0",
    cast(columns('(_square|z_z_cars|short_short_cars)$') as varchar) as "\0"
from opened
