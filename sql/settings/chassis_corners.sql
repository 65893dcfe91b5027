-- title: The usual front corner of a chassis with the original mount
-- grain: one row per chassis of the readings that has a front corner at a known offset
-- source: present_corners, sensitivities, angle_priors
-- missing: an angle that no car was read for is NULL
-- Each corner's newest angles are brought back to offset 0 with the slopes of the chassis; the row is their median, left and
-- right together, one car counted as the mean of its corners. *_var is the variance for another car: 1.4826 times the median
-- absolute deviation, squared, averaged with the prior variance at the weight of three cars, plus the variance of the median.
-- column chassis VARCHAR: platform code
-- column vehicle_count BIGINT: cars
-- column camber_deg DOUBLE [deg]: median
-- column camber_var_deg2 DOUBLE [deg2]: variance between cars
-- column caster_deg DOUBLE [deg]: median
-- column caster_var_deg2 DOUBLE [deg2]: variance between cars
-- column toe_deg DOUBLE [deg]: median per wheel, as read
-- column toe_var_deg2 DOUBLE [deg2]: variance between cars
with
angles as (
    select
        chassis,
        vehicle,
        corner,
        offset_out_mm,
        offset_aft_mm,
        unnest([
            {'response': 'camber_deg', 'read_deg': camber_deg},
            {'response': 'caster_deg', 'read_deg': caster_deg},
            {'response': 'toe_deg', 'read_deg': toe_deg}
        ], recursive := true)
    from present_corners
    where offset_out_mm is not null
),
brought_back as (
    select
        chassis,
        response,
        vehicle,
        -- Toe is set again after every move.
        exact_mean(
            read_deg
                - case when response = 'toe_deg' then 0 else slope_out * offset_out_mm + slope_aft * offset_aft_mm end
        ) as original_deg
    from angles
    inner join sensitivities using (chassis, response)
    where read_deg is not null
    group by chassis, response, vehicle
),
summed as (
    select
        chassis,
        response,
        median(original_deg) as middle_deg,
        power(1.4826 * mad(original_deg), 2) as robust_var,
        count(*) as n
    from brought_back
    group by chassis, response
),
varied as (
    select
        chassis,
        response,
        middle_deg,
        (n * robust_var + 3 * car_var) / (n + 3) * (1 + pi() / 2 / n) as other_car_var,
        max(n) over (partition by chassis) as vehicle_count
    from summed
    inner join angle_priors using (response)
)
select *
from varied pivot (
    max(middle_deg) as deg, max(other_car_var) as var_deg2
    for response in ('camber_deg' as camber, 'caster_deg' as caster, 'toe_deg' as toe) group by chassis, vehicle_count
)
