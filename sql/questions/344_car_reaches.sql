-- Half-length of slot that the fronts of each car ask (*_mm), and whether they are reached where all needs are shifted (*_shifted, see
-- reached_shifted): one row per chassis, target, design, bolt position, hand and car, and one (index and hand NULL) over the best of them,
-- both corners of a car taking plates of one pair; there left is the corner that asks less. Kits whose plates are the same on a chassis
-- are asked once. asked_*: NULL = all.
create or replace temp macro car_reaches(asked_chassis, asked_kit, asked_target) as table
with
slots as (
    select
        * replace ({'out': middle.out_mm, 'aft': middle.aft_mm} as middle),
        reach_limits(normals, half_length_mm) as most
    from reach_slots(asked_chassis, asked_kit, asked_target, [as_it_is()])
    where kit = design
),
slope_errors as (
    select
        chassis,
        target,
        max(corner_count) as corner_count,
        coalesce(max(shared_mm) filter (where axis = 'out'), 0) as error_out_mm,
        coalesce(max(shared_mm) filter (where axis = 'aft'), 0) as error_aft_mm
    from (select *, sqrt(power(sd_slopes_mm, 2) + power(sd_bias_mm, 2)) as shared_mm from needed_spreads)
    group by chassis, target
),
-- Some 2,000 corners of a chassis stand for more where the needs are shifted.
cars as (
    select
        chassis,
        target,
        row_number() over (partition by chassis, target) as car,
        hash(vehicle) % greatest(any_value(corner_count) // 2000, 1) = 0 as sampled,
        any_value(error_out_mm) as error_out_mm,
        any_value(error_aft_mm) as error_aft_mm,
        any_value({'out': out_mm, 'aft': aft_mm}) filter (where corner = 'FL') as left_need,
        any_value({'out': out_mm, 'aft': aft_mm}) filter (where corner = 'FR') as right_need
    from need_points
    inner join slope_errors using (chassis, target)
    where (asked_chassis is null or chassis = asked_chassis) and (asked_target is null or target = asked_target)
    group by chassis, target, vehicle
),
asked as materialized (
    select
        chassis,
        target,
        design,
        plate_index,
        own,
        half_length_mm,
        car,
        corner_half_length(left_need, middle, normals) as left_mm,
        corner_half_length(right_need, middle, normals) as right_mm,
        case when sampled
            then corner_shifted(left_need, middle, error_out_mm, error_aft_mm, normals, most)
        end as left_shifted,
        case when sampled
            then corner_shifted(right_need, middle, error_out_mm, error_aft_mm, normals, most)
        end as right_shifted
    from cars
    inner join slots using (chassis, target)
),
-- Over the indices of one hand each corner takes the one that asks least; over the hands the car does, corner by corner, since it has
-- one pair of plates.
by_hand as (
    select
        chassis,
        target,
        design,
        half_length_mm,
        car,
        min(left_mm) filter (where own) as left_own_mm,
        min(right_mm) filter (where own) as right_own_mm,
        min(left_mm) filter (where not own) as left_other_mm,
        min(right_mm) filter (where not own) as right_other_mm,
        bit_or(left_shifted) filter (where own) as left_own_shifted,
        bit_or(right_shifted) filter (where own) as right_own_shifted,
        bit_or(left_shifted) filter (where not own) as left_other_shifted,
        bit_or(right_shifted) filter (where not own) as right_other_shifted
    from asked
    group by chassis, target, design, half_length_mm, car
),
best as (
    select
        chassis,
        target,
        design,
        cast(null as integer) as plate_index,
        cast(null as boolean) as own,
        half_length_mm,
        least(left_own_mm, right_own_mm, left_other_mm, right_other_mm) as left_mm,
        case
            when left_own_mm + right_own_mm is not null
                then least(greatest(left_own_mm, right_own_mm), greatest(left_other_mm, right_other_mm))
        end as right_mm,
        coalesce(left_own_shifted, 0) | coalesce(right_own_shifted, 0) | coalesce(left_other_shifted, 0)
            | coalesce(right_other_shifted, 0)
            as any_shifted,
        (left_own_shifted & right_own_shifted) | (left_other_shifted & right_other_shifted) as right_shifted,
        case when coalesce(left_own_shifted, right_own_shifted) is not null then any_shifted end as left_shifted
    from by_hand
)
select chassis, target, design, plate_index, own, half_length_mm, left_mm, right_mm, left_shifted, right_shifted
from asked
union all by name
select * exclude (any_shifted)
from best;
