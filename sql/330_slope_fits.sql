-- title: Robust joint fit of the two slopes
-- grain: one row per chassis and response
-- source: moves, slope_scales
-- missing: none; an axis without information keeps 0 here and is NULL in slope_estimates
-- MM-estimate: bisquare with 95 % efficiency at the fixed scale, iterated from the S-estimate, no intercept.
-- column chassis VARCHAR: platform code
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column slope_out DOUBLE [deg/mm]: slope, outboard
-- column slope_aft DOUBLE [deg/mm]: slope, rearward
-- column scale_deg DOUBLE [deg]: scale of one move with weight 1
-- column end_deg DOUBLE [deg]: residual of a move with weight 1 from which on its robust weight is 0
-- column settled BOOLEAN: the iteration came to rest
-- column step_count INTEGER: iterations
with recursive
fits as (
    select *, cast(row_number() over (order by chassis, response) as integer) as fit
    from slope_scales
),
points as materialized (
    select fit, move_out_mm, move_aft_mm, change_deg, weight
    from moves
    inner join fits using (chassis, response)
),
steps as (
    select 0 as step, fit, slope_out, slope_aft, scale_deg, false as settled
    from fits
    union all
    (
        with
        active as (
            select * from steps where step < 60 and not settled
        ),
        residuals as (
            select
                points.*,
                (change_deg - slope_out * move_out_mm - slope_aft * move_aft_mm) / (scale_deg * efficiency_tuning()) as u,
                weight * u * u as q,
                weight * bisquare_weight(q) as w,
                weight * bisquare_slope(q) as w_slope
            from points
            inner join active using (fit)
        ),
        sums as (
            select
                fit,
                grid_sum(w * move_out_mm * move_out_mm) as xx_oo,
                grid_sum(w * move_out_mm * move_aft_mm) as xx_oa,
                grid_sum(w * move_aft_mm * move_aft_mm) as xx_aa,
                solve_two(
                    xx_oo, xx_oa, xx_aa, grid_sum(w * move_out_mm * change_deg), grid_sum(w * move_aft_mm * change_deg)
                ) as slopes,
                grid_sum(w_slope * move_out_mm * move_out_mm) as h_oo,
                grid_sum(w_slope * move_out_mm * move_aft_mm) as h_oa,
                grid_sum(w_slope * move_aft_mm * move_aft_mm) as h_aa,
                grid_sum(w) as weight_sum
            from residuals
            group by fit
        ),
        reweighted as (
            select
                active.*,
                sums.* exclude (fit),
                -- Where every weight is 0 the fit stays where it is.
                case when slopes is null then 0 else coalesce(slopes.out, 0) - slope_out end as d_out,
                case when slopes is null then 0 else coalesce(slopes.aft, 0) - slope_aft end as d_aft,
                -- Mean square of the change of the fitted values, in units of the scale.
                coalesce(
                    (xx_oo * d_out * d_out + 2 * xx_oa * d_out * d_aft + xx_aa * d_aft * d_aft)
                        / nullif(weight_sum * scale_deg * scale_deg, 0),
                    0
                ) as size,
                newton_step(xx_oo, xx_oa, xx_aa, h_oo, h_oa, h_aa, d_out, d_aft, size < 0.05) as d
            from active
            inner join sums using (fit)
        )
        select
            step + 1 as step,
            fit,
            slope_out + d.out as slope_out,
            slope_aft + d.aft as slope_aft,
            scale_deg,
            -- A Newton step leaves about the square of what it went.
            abs(d_out) + abs(d_aft) < case when d.newton then 1e-6 else 1e-9 end as settled
        from reweighted
    )
)
select
    fits.chassis,
    fits.response,
    steps.slope_out,
    steps.slope_aft,
    steps.scale_deg,
    steps.scale_deg * efficiency_tuning() as end_deg,
    settled,
    step as step_count
from steps
inner join fits using (fit)
qualify row_number() over (partition by fit order by step desc) = 1
