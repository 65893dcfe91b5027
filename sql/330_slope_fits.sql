-- title: Robust joint fit of the two slopes
-- grain: one row per chassis and response
-- source: fit_points, slope_scales
-- missing: none; an axis without information keeps 0 here and is NULL in slope_estimates
-- MM-estimate: bisquare with 95 % efficiency at the fixed scale, iterated from the S-estimate, no intercept.
-- column fit INTEGER: number of the chassis and response
-- column chassis VARCHAR: platform code
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column slope_out DOUBLE [deg/mm]: slope, outboard
-- column slope_aft DOUBLE [deg/mm]: slope, rearward
-- column scale_deg DOUBLE [deg]: scale of one move with weight 1
-- column settled BOOLEAN: the iteration came to rest
-- column step_count INTEGER: iterations
with recursive
steps as (
    select 0 as step, fit, slope_out, slope_aft, scale_deg, false as settled
    from slope_scales
    union all
    (
        with
        weighted as (
            select
                steps.step,
                steps.fit,
                steps.slope_out,
                steps.slope_aft,
                steps.scale_deg,
                fit_points.move_out_mm,
                fit_points.move_aft_mm,
                fit_points.change_deg,
                fit_points.weight * bisquare_weight(
                    sqrt(fit_points.weight)
                        * (fit_points.change_deg - steps.slope_out * fit_points.move_out_mm - steps.slope_aft * fit_points.move_aft_mm)
                        / steps.scale_deg,
                    efficiency_tuning()
                ) as weight
            from steps
            inner join fit_points using (fit)
            where steps.step < 60 and not steps.settled
        ),
        sums as (
            select
                step + 1 as step,
                fit,
                slope_out as old_out,
                slope_aft as old_aft,
                scale_deg,
                solve_two(
                    grid_sum(weight * move_out_mm * move_out_mm),
                    grid_sum(weight * move_out_mm * move_aft_mm),
                    grid_sum(weight * move_aft_mm * move_aft_mm),
                    grid_sum(weight * move_out_mm * change_deg),
                    grid_sum(weight * move_aft_mm * change_deg)
                ) as slopes
            from weighted
            group by step, fit, slope_out, slope_aft, scale_deg
        )
        select
            step,
            fit,
            -- Where every weight is 0 the fit stays where it is.
            case when slopes.out is null and slopes.aft is null then old_out else coalesce(slopes.out, 0) end as slope_out,
            case when slopes.out is null and slopes.aft is null then old_aft else coalesce(slopes.aft, 0) end as slope_aft,
            scale_deg,
            coalesce(
                abs(coalesce(slopes.out, 0) - old_out) + abs(coalesce(slopes.aft, 0) - old_aft) < 1e-9
                    or (slopes.out is null and slopes.aft is null),
                true
            ) as settled
        from sums
    )
)
select
    fit,
    slope_scales.chassis,
    slope_scales.response,
    steps.slope_out,
    steps.slope_aft,
    steps.scale_deg,
    settled,
    step as step_count
from steps
inner join slope_scales using (fit)
qualify row_number() over (partition by fit order by step desc) = 1
