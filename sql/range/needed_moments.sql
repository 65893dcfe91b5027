-- title: Mean and spread of the needed offsets, with censored corners
-- grain: one row per chassis and target
-- source: needed_offsets, without the corners set apart
-- missing: mean and variances are NULL with fewer than 2 corners that are not censored
-- Bivariate normal by maximum likelihood. A censored corner is known across the direction past its end and lies beyond a limit
-- along it: EM with the mean and variance of the truncated conditional normal (Tobin 1958, Econometrica 26, 24-36; Dempster,
-- Laird and Rubin 1977, J. R. Statist. Soc. B 39, 1-38). Left and right of one car are taken as independent here; divisor n.
-- column chassis VARCHAR: platform code
-- column target VARCHAR: target
-- column corner_count BIGINT: corners
-- column censored_count BIGINT: of those, censored
-- column mean_out_mm DOUBLE [mm]: mean, outboard
-- column mean_aft_mm DOUBLE [mm]: mean, rearward
-- column var_oo_mm2 DOUBLE [mm2]: variance of the values as read, outboard
-- column var_oa_mm2 DOUBLE [mm2]: covariance
-- column var_aa_mm2 DOUBLE [mm2]: variance, rearward
-- column step_count INTEGER: EM steps
with recursive
-- An axis that the target leaves open takes the present offset, so that directions stay whole.
corners as (
    select
        chassis,
        target,
        coalesce(need_out_mm, offset_out_mm) as out_mm,
        coalesce(need_aft_mm, offset_aft_mm) as aft_mm,
        beyond_out,
        beyond_aft,
        limit_mm
    from needed_offsets
    where not set_apart
),
counted as (
    select
        chassis,
        target,
        count(*) as corner_count,
        count(limit_mm) as censored_count,
        count(*) filter (where limit_mm is null) as n,
        sum(micro(out_mm)) filter (where limit_mm is null) as sum_o,
        sum(micro(aft_mm)) filter (where limit_mm is null) as sum_a,
        moment(case when limit_mm is null then out_mm end, out_mm) as sum_oo,
        moment(case when limit_mm is null then out_mm end, aft_mm) as sum_oa,
        moment(case when limit_mm is null then aft_mm end, aft_mm) as sum_aa
    from corners
    group by chassis, target
),
-- About the mean of the corners that are not censored.
centred as (
    select
        chassis,
        target,
        corner_count,
        censored_count,
        n,
        cast(sum_o as double) / n / 1e6 as centre_out_mm,
        cast(sum_a as double) / n / 1e6 as centre_aft_mm,
        centred_moment(n, sum_oo, sum_o, sum_o) as square_oo,
        centred_moment(n, sum_oa, sum_o, sum_a) as square_oa,
        centred_moment(n, sum_aa, sum_a, sum_a) as square_aa
    from counted
    where n > 1
),
censored as (
    select
        corners.chassis,
        corners.target,
        beyond_out as d_o,
        beyond_aft as d_a,
        (aft_mm - centre_aft_mm) * beyond_out - (out_mm - centre_out_mm) * beyond_aft as across,
        limit_mm - centre_out_mm * beyond_out - centre_aft_mm * beyond_aft as limit_mm
    from corners
    inner join centred using (chassis, target)
    where limit_mm is not null
),
steps as (
    select
        0 as step,
        chassis,
        target,
        cast(0 as double) as mean_o,
        cast(0 as double) as mean_a,
        square_oo / n as var_oo,
        square_oa / n as var_oa,
        square_aa / n as var_aa,
        censored_count = 0 as settled
    from centred
    union all
    (
        with
        turned as (
            select
                censored.*,
                steps.* exclude (chassis, target),
                d_o * d_o * var_oo + 2 * d_o * d_a * var_oa + d_a * d_a * var_aa as var_along,
                d_o * d_o * var_aa - 2 * d_o * d_a * var_oa + d_a * d_a * var_oo as var_across,
                (d_o * d_o - d_a * d_a) * var_oa + d_o * d_a * (var_aa - var_oo) as cov
            from steps
            inner join censored using (chassis, target)
            where not steps.settled and steps.step < 1000
        ),
        conditional as (
            select
                *,
                d_o * mean_o + d_a * mean_a
                    + case when var_across > 1e-9 then cov / var_across else 0 end
                        * (across - d_o * mean_a + d_a * mean_o) as middle,
                sqrt(
                    greatest(var_along - case when var_across > 1e-9 then cov * cov / var_across else 0 end, 1e-9)
                ) as sd
            from turned
        ),
        expected as (
            select
                *,
                middle + sd * tail_mean((limit_mm - middle) / sd) as along,
                sd * sd * tail_var((limit_mm - middle) / sd) as rest_var,
                d_o * along - d_a * across as o,
                d_a * along + d_o * across as a
            from conditional
        ),
        added as (
            select
                step, chassis, target, mean_o, mean_a, var_oo, var_oa, var_aa,
                exact_sum(o) as sum_o,
                exact_sum(a) as sum_a,
                exact_sum(o * o + d_o * d_o * rest_var) as sum_oo,
                exact_sum(o * a + d_o * d_a * rest_var) as sum_oa,
                exact_sum(a * a + d_a * d_a * rest_var) as sum_aa
            from expected
            group by step, chassis, target, mean_o, mean_a, var_oo, var_oa, var_aa
        )
        select
            step + 1 as step,
            chassis,
            target,
            sum_o / corner_count as new_o,
            sum_a / corner_count as new_a,
            (square_oo + sum_oo) / corner_count - new_o * new_o as new_oo,
            (square_oa + sum_oa) / corner_count - new_o * new_a as new_oa,
            (square_aa + sum_aa) / corner_count - new_a * new_a as new_aa,
            abs(new_o - mean_o) + abs(new_a - mean_a) < 1e-7
                and abs(new_oo - var_oo) + abs(new_aa - var_aa) < 1e-6 as settled
        from added
        inner join centred using (chassis, target)
    )
),
solved as (
    select * from steps qualify row_number() over (partition by chassis, target order by step desc) = 1
)
select
    counted.chassis,
    counted.target,
    counted.corner_count,
    counted.censored_count,
    centre_out_mm + mean_o as mean_out_mm,
    centre_aft_mm + mean_a as mean_aft_mm,
    var_oo as var_oo_mm2,
    var_oa as var_oa_mm2,
    var_aa as var_aa_mm2,
    step as step_count
from counted
left join centred using (chassis, target)
left join solved using (chassis, target)
