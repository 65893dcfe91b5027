-- Half-length of slot that each front corner asks of each kit, bolt position and hand: one row per corner, target, kit, index and
-- hand. half_length_mm: what the first scale of the kit has. Parameters: see reach_slots. Where there are several variants, some 2,000
-- corners of a chassis stand for more in all but the first.
create or replace temp macro reaches(asked_chassis, asked_kit, asked_target, variants) as table
with
slope_errors as (
    select
        chassis,
        target,
        max(corner_count) as corner_count,
        coalesce(max(sd_slopes_mm) filter (where axis = 'out'), 0) as out_mm,
        coalesce(max(sd_slopes_mm) filter (where axis = 'aft'), 0) as aft_mm
    from needed_spreads
    group by chassis, target
),
points as (
    select
        need_points.*,
        slope_errors.out_mm as error_out_mm,
        slope_errors.aft_mm as error_aft_mm,
        hash(vehicle) % greatest(corner_count // 2000, 1) = 0 as sampled
    from need_points
    inner join slope_errors using (chassis, target)
),
asked as (
    select
        variant.name as variant,
        variant.value as variant_value,
        points.* exclude (error_out_mm, error_aft_mm, sampled),
        kit,
        plate_index,
        own,
        pitch_mm,
        slot,
        middle,
        side,
        camber,
        caster,
        half_length_mm,
        required_half_length(
            {'out': out_mm + variant.need_out * error_out_mm, 'aft': aft_mm + variant.need_aft * error_aft_mm},
            {'out': middle.out_mm, 'aft': middle.aft_mm}, normals
        ) as required_mm
    from points
    inner join reach_slots(asked_chassis, asked_kit, asked_target, variants) using (chassis, target)
    where place = 1 or sampled
)
select
    *,
    required_mm <= half_length_mm + 1e-9 as reached
from asked;
