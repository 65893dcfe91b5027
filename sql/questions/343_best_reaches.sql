-- What reaches asks over the best bolt positions: one row per car and place, the k-th easiest of its corners in order. Over the indices of one
-- hand each corner takes the one that asks least; over the hands the car does, corner by corner, since it has one pair of plates.
create or replace temp macro best_reaches(asked_chassis, asked_kit, asked_target, variants) as table
with
by_hand as (
    select
        variant, variant_value, chassis, target, kit, vehicle, corner, own, half_length_mm,
        min(required_mm) as required_mm
    from reaches(asked_chassis, asked_kit, asked_target, variants)
    group by variant, variant_value, chassis, target, kit, vehicle, corner, own, half_length_mm
),
in_order as (
    select
        *,
        row_number() over (
            partition by variant, variant_value, chassis, target, kit, vehicle, own order by required_mm, corner
        ) as place
    from by_hand
)
select
    variant, variant_value, chassis, target, kit, vehicle, place, half_length_mm,
    min(required_mm) as required_mm
from in_order
group by variant, variant_value, chassis, target, kit, vehicle, place, half_length_mm;
