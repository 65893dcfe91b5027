-- title: How far the bearing slipped, if it did
-- grain: one row per corner session that can be compared and whose plate may slide
-- source: session_corners, drift_effects
-- missing: slip_* are NULL where the angles that were read cannot tell them; along a slot the other direction is bound to it
-- Generalised least squares along the directions that the plate allows, with the noise of the readings and what is not known of
-- the slopes (at the size of the slip, one step of iteration); no prior on the size, so that 95 % regions hold whatever it is.
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR
-- column visit VARCHAR: visit
-- column slip_out_mm DOUBLE [mm]: outboard
-- column slip_aft_mm DOUBLE [mm]: rearward
-- column slip_out_var_mm2 DOUBLE [mm2]: variance
-- column slip_aft_var_mm2 DOUBLE [mm2]: variance
-- column slip_cov_mm2 DOUBLE [mm2]: covariance
-- column slip_along_mm DOUBLE [mm]: along the first scale
-- column slip_across_mm DOUBLE [mm]: along the second scale, 0 for a slot
with
patterns as (
    select
        corners.*,
        effects.* exclude (vehicle, corner, visit, pattern),
        case when plate_hand = case when corner like '%L' then 'left' else 'right' end then 1 when plate_hand is not null then -1 end
            as mirror
    from session_corners as corners
    inner join drift_effects as effects using (vehicle, corner, visit)
    where effects.pattern = 'slip'
),
channels as (
    select
        vehicle,
        corner,
        visit,
        unnest([
            {'y': camber_deg, 'e_1': camber_1, 'e_2': camber_2, 'noise': camber_var_deg2, 'slope_var': camber_var},
            {'y': caster_deg, 'e_1': caster_1, 'e_2': caster_2, 'noise': caster_var_deg2, 'slope_var': caster_var},
            {'y': sai_deg, 'e_1': sai_1, 'e_2': sai_2, 'noise': sai_var_deg2, 'slope_var': sai_var},
            {'y': toe_deg, 'e_1': toe_1, 'e_2': toe_2, 'noise': toe_var_deg2, 'slope_var': toe_var},
            {'y': pointer_out_mm, 'e_1': pointer_1_out, 'e_2': pointer_2_out, 'noise': pointer_var_mm2, 'slope_var': 0},
            {'y': pointer_aft_mm, 'e_1': pointer_1_aft, 'e_2': pointer_2_aft, 'noise': pointer_var_mm2, 'slope_var': 0}
        ], recursive := true)
    from patterns
),
first_guesses as (
    select
        vehicle,
        corner,
        visit,
        solve_two(
            exact_sum(e_1 * e_1 / noise), exact_sum(e_1 * e_2 / noise), exact_sum(e_2 * e_2 / noise), exact_sum(e_1 * y / noise),
            exact_sum(e_2 * y / noise)
        ) as guess
    from channels
    where y is not null
    group by vehicle, corner, visit
),
weighed as (
    select
        channels.*,
        1 / (noise + slope_var * (coalesce(power(guess.out, 2), 0) + coalesce(power(guess.aft, 2), 0))) as w
    from channels
    inner join first_guesses using (vehicle, corner, visit)
    where y is not null
),
summed as (
    select
        vehicle,
        corner,
        visit,
        exact_sum(w * e_1 * e_1) as s_11,
        exact_sum(w * e_1 * e_2) as s_12,
        exact_sum(w * e_2 * e_2) as s_22,
        solve_two(s_11, s_12, s_22, exact_sum(w * e_1 * y), exact_sum(w * e_2 * y)) as move,
        s_11 * s_22 - s_12 * s_12 as det
    from weighed
    group by vehicle, corner, visit
),
solved as (
    select
        *,
        case when move.out is null then null when move.aft is null then 1 / s_11 else s_22 / det end as var_1,
        case when move.aft is null then null when move.out is null then 1 / s_22 else s_11 / det end as var_2,
        case when move.out is not null and move.aft is not null then -s_12 / det end as cov
    from summed
)
select
    vehicle,
    corner,
    visit,
    case freedom when 'slot' then move.out * slot_out else move.out end as slip_out_mm,
    case freedom when 'slot' then move.out * slot_aft else move.aft end as slip_aft_mm,
    case freedom when 'slot' then var_1 * slot_out * slot_out else var_1 end as slip_out_var_mm2,
    case freedom when 'slot' then var_1 * slot_aft * slot_aft else var_2 end as slip_aft_var_mm2,
    case freedom when 'slot' then var_1 * slot_out * slot_aft else cov end as slip_cov_mm2,
    case freedom when 'slot' then move.out else move.out * slot_out + move.aft * slot_aft end as slip_along_mm,
    case freedom when 'slot' then 0 else mirror * (move.aft * slot_out - move.out * slot_aft) end as slip_across_mm
from solved
inner join patterns using (vehicle, corner, visit)
