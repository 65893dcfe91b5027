-- title: Robust scale of the residuals
-- grain: one row per chassis and response
-- source: fit_points, slope_starts, slope_priors
-- missing: none
-- S-estimate (bisquare, 50 % breakdown, sum of rho over n - 2 equal to 1/2) by iterated reweighting from the start; then,
-- since few moves tell little of a scale, its square is averaged with the typical square of all chassis (5 moves' worth).
-- column fit INTEGER: number of the chassis and response
-- column chassis VARCHAR: platform code
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column slope_out DOUBLE [deg/mm]: slope of the S-estimate, outboard
-- column slope_aft DOUBLE [deg/mm]: slope of the S-estimate, rearward
-- column own_scale_deg DOUBLE [deg]: S-estimate of scale of one move with weight 1
-- column typical_scale_deg DOUBLE [deg]: median over chassis with more than 8 moves, or sqrt(2) times the prior noise of a reading
-- column scale_deg DOUBLE [deg]: the one that the fit uses
-- column move_count BIGINT: moves
with recursive
steps as (
    select
        0 as step,
        fit,
        slope_out,
        slope_aft,
        greatest(1.4826 * median_abs_deg, 1e-4) as scale_deg,
        move_count,
        false as settled
    from slope_starts
    union all
    (
        with
        residuals as (
            select
                steps.step,
                steps.fit,
                steps.slope_out,
                steps.slope_aft,
                steps.scale_deg,
                steps.move_count,
                fit_points.move_out_mm,
                fit_points.move_aft_mm,
                fit_points.change_deg,
                fit_points.weight,
                sqrt(fit_points.weight)
                    * (fit_points.change_deg - steps.slope_out * fit_points.move_out_mm - steps.slope_aft * fit_points.move_aft_mm)
                    / steps.scale_deg as u
            from steps
            inner join fit_points using (fit)
            where steps.step < 30 and not steps.settled
        ),
        weighted as (
            select
                residuals.* exclude (u),
                weight * bisquare_weight(u, breakdown_tuning()) as w,
                bisquare_rho(u, breakdown_tuning()) as rho
            from residuals
        ),
        sums as (
            select
                step + 1 as step,
                fit,
                slope_out as old_out,
                slope_aft as old_aft,
                scale_deg as old_scale,
                move_count,
                solve_two(
                    grid_sum(w * move_out_mm * move_out_mm),
                    grid_sum(w * move_out_mm * move_aft_mm),
                    grid_sum(w * move_aft_mm * move_aft_mm),
                    grid_sum(w * move_out_mm * change_deg),
                    grid_sum(w * move_aft_mm * change_deg)
                ) as slopes,
                grid_sum(rho) / greatest(move_count - 2, 1) / 0.5 as excess
            from weighted
            group by step, fit, slope_out, slope_aft, scale_deg, move_count
        )
        select
            step,
            fit,
            -- Where every weight is 0 the fit stays where it is.
            case when slopes.out is null and slopes.aft is null then old_out else coalesce(slopes.out, 0) end as slope_out,
            case when slopes.out is null and slopes.aft is null then old_aft else coalesce(slopes.aft, 0) end as slope_aft,
            greatest(old_scale * sqrt(excess), 1e-4) as scale_deg,
            move_count,
            abs(greatest(old_scale * sqrt(excess), 1e-4) / old_scale - 1) < 1e-5
                and abs(coalesce(slopes.out, 0) - old_out) + abs(coalesce(slopes.aft, 0) - old_aft) < 1e-8 as settled
        from sums
    )
),
last_steps as (
    select steps.*, slope_starts.chassis, slope_starts.response
    from steps
    inner join slope_starts using (fit)
    qualify row_number() over (partition by fit order by step desc) = 1
),
typical as (
    select
        priors.response,
        coalesce(
            median(last_steps.scale_deg) filter (where last_steps.move_count > 8),
            any_value(priors.noise_sd_deg) * sqrt(2)
        ) as scale_deg
    from (select distinct response, noise_sd_deg from slope_priors) as priors
    left join last_steps using (response)
    group by priors.response
)
select
    last_steps.fit,
    last_steps.chassis,
    last_steps.response,
    last_steps.slope_out,
    last_steps.slope_aft,
    last_steps.scale_deg as own_scale_deg,
    typical.scale_deg as typical_scale_deg,
    -- Instruments show hundredths: a scale below what rounding alone makes (0.01/sqrt(12), twice) would reject good readings.
    greatest(
        sqrt(
            (greatest(last_steps.move_count - 4, 0) * power(last_steps.scale_deg, 2) + 5 * power(typical.scale_deg, 2))
            / (greatest(last_steps.move_count - 4, 0) + 5)
        ),
        0.01 / sqrt(6)
    ) as scale_deg,
    last_steps.move_count
from last_steps
inner join typical using (response)
