-- title: Slopes with cluster-robust standard errors
-- grain: one row per chassis and response that has moves
-- source: slope_moves, slope_fits
-- missing: a slope is NULL where the chassis never moved along its axis, or only along one slanting line (rank 'line')
-- computed by: src/stats/tables
-- Sandwich of the MM-estimate with the working weights w (robustbase's .vcov.w form: bread X'WX, factor sum w / sum psi'),
-- CR2 adjustment per vehicle and Satterthwaite degrees of freedom under independent errors (Bell and McCaffrey 2002;
-- Pustejovsky and Tipton 2018, equations 6-11). CR2 and not CR1 because fleets of 5 to 15 cars with one that moved far more
-- than the rest are usual, where CR1 with G-1 degrees of freedom is too narrow.
-- Mark-reading error: where the reliability ratio of an axis is under 0.98, X'WX is lowered by the error's known variance
-- (Fuller, Measurement Error Models, 1987, section 2.2).
-- column chassis VARCHAR: platform code
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column rank VARCHAR: full, out (only), aft (only), line (one slanting direction), none (every move down-weighted to 0)
-- column slope_out DOUBLE [deg/mm]: estimate, outboard
-- column slope_aft DOUBLE [deg/mm]: estimate, rearward
-- column var_out DOUBLE [deg2/mm2]: its CR2 variance; NULL where one vehicle carries all that is known of the axis
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
    vehicle,
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
    slope_out,
    slope_aft,
    scale_deg,
    end_deg,
    from_reader,
    to_reader,
    step_var,
    noise_var,
    prior_out,
    prior_aft
from slope_moves
inner join slope_fits using (chassis, response)
order by
    chassis,
    response,
    move_out_mm,
    move_aft_mm,
    change_deg,
    weight,
    read_error_oo_mm2,
    read_error_oa_mm2,
    read_error_aa_mm2,
    mid_out_mm,
    mid_aft_mm,
    from_reader,
    to_reader,
    kit_change
