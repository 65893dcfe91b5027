-- title: What one millimetre does, as predictions use it
-- grain: one row per chassis of the readings and response, and one with chassis NULL for any other chassis
-- source: moves, slope_estimates, slopes_shrunk, slope_populations, slope_flags, angle_priors
-- missing: noise_var_deg2 is NULL where moves tell of none
-- A chassis whose own slopes are flagged as implausible gets the population, like one without data.
-- A corner's slope is its chassis' slope plus a deviation with variance spread_var along any direction. Method of moments on
-- two sums over corners, of squared residuals and of squared scores sum(w * move * residual); linear Bayes with the prior
-- (credibility weights by the variance of the moment estimate under the prior: Buehlmann 1967; from memory).
-- column chassis VARCHAR: platform code; NULL = a chassis without readings
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column basis VARCHAR: own (moves of the chassis), others (other chassis and geometry), geometry, flagged (own data set aside)
-- column slope_out DOUBLE [deg/mm]: outboard
-- column slope_aft DOUBLE [deg/mm]: rearward
-- column var_out DOUBLE [deg2/mm2]: variance, outboard
-- column var_aft DOUBLE [deg2/mm2]: variance, rearward
-- column cov_out_aft DOUBLE [deg2/mm2]: covariance
-- column spread_var DOUBLE [deg2/mm2]: variance of a corner's slope about its chassis' slope, along any direction
-- column move_count BIGINT: moves of the chassis behind it
-- column corner_spread_var DOUBLE [deg2/mm2]: the same by the moves of the chassis, flagged or not
-- column noise_var_deg2 DOUBLE [deg2]: variance of a move between two states, each the mean of its readings, spread included
-- column noise_df DOUBLE: sum of their weights, less the slopes
with
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
        -- A weight over 1 comes from repeats, which make no more moves; under 1 from a third state of the visit.
        fine_sum(least(weight, 1)) as pair_count,
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
        spread_var * size_square as spread_size
    from corners
    inner join angle_priors using (response)
),
summed as (
    select
        chassis,
        response,
        grid_sum(size) as size,
        exact_sum(size_square) as size_square,
        exact_sum(size * size) as squared_size,
        exact_sum(size * spread_size) as cross_size,
        exact_sum(spread_size * spread_size) as squared_spread,
        exact_sum(score_square) as score_square,
        fine_sum(square) as square,
        fine_sum(pair_count) as pair_count,
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
        square / nullif(pair_count - slope_count, 0) as noise_var
    from summed
),
estimated as (
    select
        *,
        case when share_left > 0.05 and pair_count > slope_count + 1
            then size_square - share_left * size * size / (pair_count - slope_count)
        end as contrast
    from freed
),
varied as (
    select
        chassis,
        response,
        case when weight > slope_count then square / (weight - slope_count) end as noise_var_deg2,
        greatest(weight - slope_count, 0) as noise_df,
        case when contrast > 0 then (score_square / share_left - size * noise_var) / contrast end as moment_var,
        case
            when contrast > 0
            then 2 * (
                noise_var * noise_var * squared_size + 2 * noise_var * cross_size + squared_spread
            ) / contrast / contrast
        end as moment_var_var
    from estimated
),
populations as (
    select
        response,
        max(mean_deg_per_mm) filter (where axis = 'out') as mean_out,
        max(mean_deg_per_mm) filter (where axis = 'aft') as mean_aft,
        max(between_var + mean_var) filter (where axis = 'out') as mean_var_out,
        max(between_var + mean_var) filter (where axis = 'aft') as mean_var_aft,
        bool_or(chassis_count > 0) as from_chassis
    from slope_populations
    group by response
),
listed as (
    select
        shrunk.*,
        populations.* exclude (response),
        is_flagged,
        shrunk.move_count > 0 and is_flagged is null as is_own,
        noise_var_deg2,
        coalesce(noise_df, 0) as noise_df,
        spread_var as prior_var,
        -- The prior counts as one squared normal deviate.
        case
            when moment_var_var > 0 then greatest(
                (prior_var / (2 * power(prior_var, 2)) + moment_var / moment_var_var)
                    / (1 / (2 * power(prior_var, 2)) + 1 / moment_var_var),
                0
            )
            else prior_var
        end as corner_spread_var
    from (select * from slopes_shrunk union all by name select response from populations) as shrunk
    inner join populations using (response)
    inner join angle_priors using (response)
    left join (select distinct chassis, true as is_flagged from slope_flags where flag is not null) as flagged
        using (chassis)
    left join varied using (chassis, response)
)
select
    chassis,
    response,
    case
        when is_flagged then 'flagged'
        when is_own then 'own'
        when from_chassis then 'others'
        else 'geometry'
    end as basis,
    case when is_own then slope_out else mean_out end as slope_out,
    case when is_own then slope_aft else mean_aft end as slope_aft,
    case when is_own then var_out else mean_var_out end as var_out,
    case when is_own then var_aft else mean_var_aft end as var_aft,
    case when is_own then cov_out_aft else 0 end as cov_out_aft,
    case when is_own then corner_spread_var else prior_var end as spread_var,
    case when is_own then move_count else 0 end as move_count,
    corner_spread_var,
    noise_var_deg2,
    noise_df
from listed
