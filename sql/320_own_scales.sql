-- title: Robust scale of the residuals, by itself
-- grain: one row per chassis and response
-- source: moves, slope_starts
-- missing: none
-- S-estimate (bisquare, 50 % breakdown, sum of rho over n - 2 equal to 1/2) by iterated reweighting from the start.
-- column chassis VARCHAR: platform code
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column slope_out DOUBLE [deg/mm]: slope of the S-estimate, outboard
-- column slope_aft DOUBLE [deg/mm]: slope of the S-estimate, rearward
-- column scale_deg DOUBLE [deg]: S-estimate of scale of one move with weight 1
-- column move_count BIGINT: moves
with recursive
fits as (
    select *, cast(row_number() over (order by chassis, response) as integer) as fit
    from slope_starts
),
points as materialized (
    select fit, move_out_mm, move_aft_mm, change_deg, weight
    from moves
    inner join fits using (chassis, response)
),
steps as (
    select
        0 as step,
        fit,
        slope_out,
        slope_aft,
        greatest(1.4826 * median_abs_deg, 1e-4) as scale_deg,
        greatest(move_count - 2, 1) as df,
        false as settled
    from fits
    union all
    (
        with
        active as (
            select * from steps where step < 40 and not settled
        ),
        residuals as (
            select
                points.*,
                (change_deg - slope_out * move_out_mm - slope_aft * move_aft_mm) / (scale_deg * breakdown_tuning()) as u,
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
                grid_sum(w) as weight_sum,
                grid_sum(bisquare_rho(q)) as rho_sum,
                grid_sum(bisquare_rho_slope(q)) as rho_slope_sum
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
                newton_step(xx_oo, xx_oa, xx_aa, h_oo, h_oa, h_aa, d_out, d_aft, size < 0.05) as d,
                -- Newton's step for log rho over log scale.
                greatest(
                    scale_deg * case when rho_sum > 0 then power(rho_sum / df / 0.5, 1 / greatest(rho_slope_sum / rho_sum, 0.5)) else 0 end,
                    1e-4
                ) as new_scale_deg
            from active
            inner join sums using (fit)
        )
        select
            step + 1 as step,
            fit,
            slope_out + d.out as slope_out,
            slope_aft + d.aft as slope_aft,
            new_scale_deg as scale_deg,
            df,
            -- A Newton step leaves about the square of what it went.
            abs(new_scale_deg / scale_deg - 1) < case when d.newton then 1e-4 else 1e-6 end
                and size < 1e-8 as settled
        from reweighted
    )
),
last_steps as (
    select * from steps qualify row_number() over (partition by fit order by step desc) = 1
)
select
    fits.chassis,
    fits.response,
    last_steps.slope_out,
    last_steps.slope_aft,
    last_steps.scale_deg,
    fits.move_count
from last_steps
inner join fits using (fit)
