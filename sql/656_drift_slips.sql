-- title: How far the bearing slipped, if it did
-- grain: one row per corner session that can be compared and whose plate may slide
-- source: session_corners, sensitivities, slip_ends
-- missing: slip_* are NULL where the angles that were read cannot tell them; along a slot the other direction is bound to it
-- Generalised least squares along the directions that the plate allows, with the noise of the readings and what is not known of
-- the slopes (at the size of the slip, one step of iteration); no prior on the size, so that 95 % regions hold whatever it is.
-- The variances are those of each part alone. Of a slip along the unit vector u: u'Vu with the covariance; along a slot that is the
-- variance of the one size that is estimated.
-- column chassis VARCHAR: platform code
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
fronts as materialized (
    select *
    from compared_fronts('session_corners', 'sensitivities', 'slip_ends')
    where freedom in ('slot', 'plane')
),
noised as (
    select fronts as front, weighed(fronts, 0, 0, 0, 0, 0) as weights from fronts
),
guessed as (
    select front, two_ways(front, weights, front) as products from noised
),
guesses as (
    select front, solve_two(products.s_11, products.s_12, products.s_22, products.y_1, products.y_2) as guess from guessed
),
squares as (
    select front, coalesce(guess.out * guess.out, 0) + coalesce(guess.aft * guess.aft, 0) as square from guesses
),
weighed as (
    select
        front,
        weighed(
            front, square * front.camber_slip_var, square * front.caster_slip_var, square * front.sai_slip_var,
            square * front.toe_slip_var, 0
        ) as weights
    from squares
),
summed as (
    select front, two_ways(front, weights, front) as products from weighed
),
moves as (
    select
        front,
        products,
        solve_two(products.s_11, products.s_12, products.s_22, products.y_1, products.y_2) as move,
        products.s_11 * products.s_22 - products.s_12 * products.s_12 as det
    from summed
),
solved as (
    select
        front.*,
        move,
        case when move.out is null then null when move.aft is null then 1 / products.s_11 else products.s_22 / det end as var_1,
        case when move.aft is null then null when move.out is null then 1 / products.s_22 else products.s_11 / det end as var_2,
        case when move.out is not null and move.aft is not null then -products.s_12 / det end as cov,
        case when front.plate_hand = case front.side when 1 then 'left' else 'right' end then 1 when front.plate_hand is not null then -1 end
            as mirror
    from moves
)
select
    chassis,
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
