-- title: How slopes differ between the corners of one chassis
-- grain: one row per chassis of the readings and response
-- source: moves, slope_estimates, slopes_shrunk, gauge_priors
-- missing: moment_var and moment_var_var are NULL where moves cannot tell spread from noise
-- A corner's slope is its chassis' slope plus a deviation with variance spread_var along any direction. Method of moments on
-- two sums over corners, of squared residuals and of squared scores sum(w * move * residual); linear Bayes with the prior
-- (credibility weights by the variance of the moment estimate under the prior: Buehlmann 1967; from memory).
-- column chassis VARCHAR: platform code
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column corner_count BIGINT: corners with moves
-- column noise_var_deg2 DOUBLE [deg2]: variance of a move with weight 1, that is of two readings, spread included
-- column noise_df DOUBLE: moves with weight 1 that it rests on, less the slopes
-- column moment_var DOUBLE [deg2/mm2]: moment estimate; may be negative, which means none seen
-- column moment_var_var DOUBLE [deg4/mm4]: its sampling variance under the prior
-- column prior_var DOUBLE [deg2/mm2]: variance expected without data
-- column spread_var DOUBLE [deg2/mm2]: variance to use
with
priors as (
    select response, spread_var as prior_var from gauge_priors
),
residuals as (
    select
        moves.*,
        change_deg - fit_out * move_out_mm - fit_aft * move_aft_mm as residual_deg
    from moves
    inner join slope_estimates using (chassis, response)
    -- A move with weight 0 is a mistake. The others count in full: bisquare weights would make the noise look smaller.
    -- Nor does a move that two gauges read.
    where weight * residual_deg * residual_deg < end_deg * end_deg and from_reader is null
),
corners as (
    select
        chassis,
        response,
        vehicle,
        corner,
        grid_sum(weight * move_out_mm * move_out_mm) as xx_oo,
        grid_sum(weight * move_out_mm * move_aft_mm) as xx_oa,
        grid_sum(weight * move_aft_mm * move_aft_mm) as xx_aa,
        fine_sum(weight * move_out_mm * residual_deg) as score_out,
        fine_sum(weight * move_aft_mm * residual_deg) as score_aft,
        fine_sum(weight * residual_deg * residual_deg) as square,
        fine_sum(weight) as weight
    from residuals
    group by chassis, response, vehicle, corner
),
sized as (
    select
        *,
        xx_oo + xx_aa as size,
        xx_oo * xx_oo + 2 * xx_oa * xx_oa + xx_aa * xx_aa as size_square,
        score_out * score_out + score_aft * score_aft as score_square,
        -- Variance of the score that the prior expects of the spread.
        prior_var * size_square as spread_size
    from corners
    inner join priors using (response)
),
summed as (
    select
        chassis,
        response,
        count(*) as corner_count,
        grid_sum(size) as size,
        exact_sum(size_square) as size_square,
        exact_sum(size * size) as squared_size,
        exact_sum(size * spread_size) as cross_size,
        exact_sum(spread_size * spread_size) as squared_spread,
        exact_sum(score_square) as score_square,
        fine_sum(square) as square,
        fine_sum(weight) as weight,
        case when grid_sum(xx_oo) > 1e-6 then 1 else 0 end
            + case when grid_sum(xx_aa) > 1e-6 then 1 else 0 end as slope_count
    from sized
    group by chassis, response
),
-- What the fit of the common slopes takes away from both sums.
freed as (
    select
        *,
        1 - slope_count * squared_size / nullif(size * size, 0) as share_left,
        square / nullif(weight - slope_count, 0) as noise_var
    from summed
),
estimated as (
    select
        *,
        case when share_left > 0.05 and weight > slope_count + 1
            then size_square - share_left * size * size / (weight - slope_count)
        end as contrast
    from freed
),
varied as (
    select
        chassis,
        response,
        corner_count,
        noise_var as noise_var_deg2,
        weight - slope_count as noise_df,
        case when contrast > 0 then (score_square / share_left - size * noise_var) / contrast end as moment_var,
        case
            when contrast > 0
            then 2 * (
                noise_var * noise_var * squared_size + 2 * noise_var * cross_size + squared_spread
            ) / contrast / contrast
        end as moment_var_var
    from estimated
)
select
    slopes_shrunk.chassis,
    slopes_shrunk.response,
    coalesce(corner_count, 0) as corner_count,
    case when noise_df > 0 then noise_var_deg2 end as noise_var_deg2,
    coalesce(greatest(noise_df, 0), 0) as noise_df,
    moment_var,
    moment_var_var,
    priors.prior_var,
    -- The prior counts as one squared normal deviate.
    case
        when moment_var_var > 0 then greatest(
            (priors.prior_var / (2 * power(priors.prior_var, 2)) + moment_var / moment_var_var)
                / (1 / (2 * power(priors.prior_var, 2)) + 1 / moment_var_var),
            0
        )
        else priors.prior_var
    end as spread_var
from slopes_shrunk
inner join priors using (response)
left join varied using (chassis, response)
