-- title: Slopes with cluster-robust standard errors
-- grain: one row per chassis and response that has moves
-- source: slope_moves, angle_priors
-- missing: a slope is NULL where the chassis never moved along its axis, or only along one slanting line (rank 'line')
-- computed by: src/stats/tables, written as its rows come
-- S-estimate (bisquare, 50 % breakdown, sum of rho over n - 2 equal to 1/2) by iterated reweighting from the best
-- of three deterministic starts: least squares; medians of change/move by the axis that dominates a move, alternated; the geometric prior.
-- Few moves tell little of a scale: its square is averaged with the typical square of all chassis (5 moves' worth). Where gauges are
-- uneven, the scale of one chassis tells little of another's: with h2 the variance of log scales between chassis, the others are worth
-- 1.1 / h2 moves, for the log of an S-estimate of n moves has variance 1.1 / (n - 2), by simulation of normal errors, n = 4..48. h2 is a
-- mean of squares less that, averaged with 1.1 / 5 at the weight of 10 chassis.
-- A move that was read with one gauge before and another one after holds the step between the two, the same in all such moves of
-- the chassis: a random constant for each two gauges with a standard deviation of 8 times what is expected of a bias, which makes it
-- nearly free, so that a large step biases no slope. Their moves count less the share of their means that such a constant takes
-- (generalised least squares of a random intercept: Pinheiro and Bates 2000, Mixed-Effects Models in S and S-PLUS, 2.2; from memory), moves
-- far off the others (4 robust standard deviations) left out of the means.
-- MM-estimate: bisquare with 95 % efficiency at the scale, iterated from the S-estimate, no intercept, but a free constant for each
-- change of kit, profiled out (src/stats/slopes/kitConstants.ts), where it has four moves at least.
-- Sandwich of the MM-estimate with the working weights w (robustbase's .vcov.w form: bread X'WX, factor sum w / sum psi'),
-- CR2 adjustment per vehicle and Satterthwaite degrees of freedom under independent errors (Bell and McCaffrey 2002;
-- Pustejovsky and Tipton 2018, equations 6-11). CR2 and not CR1 because fleets of 5 to 15 cars with one that moved far more
-- than the rest are usual, where CR1 with G-1 degrees of freedom is too narrow.
-- Mark-reading error: where the reliability ratio of an axis is under 0.98, X'WX is lowered by the error's known variance
-- (Fuller, Measurement Error Models, 1987, section 2.2).
-- column chassis VARCHAR: platform code
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column own_scale_deg DOUBLE [deg]: S-estimate of scale of one move with weight 1
-- column typical_scale_deg DOUBLE [deg]: the same, median over chassis with more than 8 moves, or sqrt(2) times the prior noise of a reading; as far as gauges are uneven, weighted geometric mean of all
-- column scale_deg DOUBLE [deg]: the one that the fit uses
-- column scaled_move_count BIGINT: moves of that scale, less the constants of changes of kit
-- column end_deg DOUBLE [deg]: residual of a move with weight 1 from which on its robust weight is 0
-- column fit_out DOUBLE [deg/mm]: slope of the MM-estimate, outboard; 0 without information
-- column fit_aft DOUBLE [deg/mm]: the same rearward
-- column rank VARCHAR: full, out (only), aft (only), line (one slanting direction), none (every move down-weighted to 0)
-- column slope_out DOUBLE [deg/mm]: slope, outboard
-- column slope_aft DOUBLE [deg/mm]: slope, rearward
-- column var_out DOUBLE [deg2/mm2]: its CR2 variance; NULL where one vehicle carries most of what is known of the axis
-- column var_aft DOUBLE [deg2/mm2]: CR2 variance, rearward
-- column cov_out_aft DOUBLE [deg2/mm2]: CR2 covariance
-- column df_out DOUBLE: Satterthwaite degrees of freedom
-- column df_aft DOUBLE: Satterthwaite degrees of freedom
-- column xx_oo DOUBLE [mm2]: weighted sum of squares used for the slopes
-- column xx_oa DOUBLE [mm2]: weighted sum of products
-- column xx_aa DOUBLE [mm2]: weighted sum of squares
-- column xy_o DOUBLE [mm.deg]: weighted sum of products with the change
-- column xy_a DOUBLE [mm.deg]: weighted sum of products with the change
-- column noise_var_deg2 DOUBLE [deg2]: variance of one move with weight 1 times mean robust weight / 0.95: xx^-1 times it is the model variance
-- column reliability_out DOUBLE: share of xx_oo that is not mark-reading error
-- column reliability_aft DOUBLE: share of xx_aa that is not mark-reading error
-- column corrected BOOLEAN: mark-reading error was taken off
-- column move_count BIGINT: moves
-- column move_out_count BIGINT: moves with a change outboard
-- column move_aft_count BIGINT: moves with a change rearward
-- column vehicle_count BIGINT: vehicles
-- column vehicle_out_count BIGINT: vehicles that moved outboard
-- column vehicle_aft_count BIGINT: vehicles that moved rearward
-- column downweighted_count BIGINT: moves with a robust weight under 1/2
-- column install_count BIGINT: of the moves, those with a change of kit, which have a free constant
-- column unequal_toe_count BIGINT: moves whose camber could not be brought to equal toe
-- column no_caster_count BIGINT: of those, moves with toe, on a chassis without any caster
-- column mid_out_mm DOUBLE [mm]: mean offset at which the outboard slope holds
-- column mid_aft_mm DOUBLE [mm]: mean offset at which the rearward slope holds
select
    chassis,
    response,
    cast(hash(vehicle) // 4096 as bigint) as vehicle,
    move_out_mm,
    move_aft_mm,
    change_deg,
    weight,
    kit_change,
    read_error_oo_mm2,
    read_error_oa_mm2,
    read_error_aa_mm2,
    mid_out_mm,
    mid_aft_mm,
    equal_toe,
    from_reader,
    to_reader,
    power(8 * bias_sd_deg, 2) as step_var,
    2 * power(noise_sd_deg, 2) as noise_var,
    mean_out as prior_out,
    mean_aft as prior_aft
from slope_moves
inner join angle_priors using (response)
-- By a hash of the numbers: an order of their values, quicker than by each of them. Names, which a merge changes, only part equal moves.
order by
    chassis,
    response,
    hash(
        move_out_mm, move_aft_mm, change_deg, weight, read_error_oo_mm2, read_error_oa_mm2, read_error_aa_mm2,
        mid_out_mm, mid_aft_mm
    ),
    from_reader,
    to_reader,
    kit_change
