-- title: Mean and spread of the needed offsets of a target, with censored corners
-- grain: one row per chassis and target
-- source: needed_offsets
-- missing: mean and variances are NULL with fewer than 2 corners that are not censored
-- Of the corners that needed_offsets does not set apart, bivariate normal by maximum likelihood (src/stats/censoredNormal.ts). A censored
-- corner is known across the direction past its end and lies beyond a limit along it. Left and right of one car are taken as independent
-- here; divisor n.
-- column chassis VARCHAR: platform code
-- column target VARCHAR: target
-- column corner_count BIGINT: corners that are not set apart
-- column set_apart_count BIGINT: the others
-- column censored_count BIGINT: of those that are not set apart, censored
-- column mean_out_mm DOUBLE [mm]: mean, outboard
-- column mean_aft_mm DOUBLE [mm]: mean, rearward
-- column var_oo_mm2 DOUBLE [mm2]: variance of the values as read, outboard
-- column var_oa_mm2 DOUBLE [mm2]: covariance
-- column var_aa_mm2 DOUBLE [mm2]: variance, rearward
-- column step_count INTEGER: EM steps
with
-- An axis that the target leaves open takes the present offset, so that directions stay whole.
corners as (
    select
        *,
        coalesce(need_out_mm, offset_out_mm) as out_mm,
        coalesce(need_aft_mm, offset_aft_mm) as aft_mm,
        limit_mm is null and not set_apart as is_read
    from needed_offsets
),
counted as (
    select
        chassis,
        target,
        count(*) filter (where not set_apart) as corner_count,
        count(*) filter (where set_apart) as set_apart_count,
        count(limit_mm) filter (where not set_apart) as censored_count,
        count(*) filter (where is_read) as n,
        sum(micro(out_mm)) filter (where is_read) as sum_o,
        sum(micro(aft_mm)) filter (where is_read) as sum_a,
        moment(case when is_read then out_mm end, out_mm) as sum_oo,
        moment(case when is_read then out_mm end, aft_mm) as sum_oa,
        moment(case when is_read then aft_mm end, aft_mm) as sum_aa,
        coalesce(list_sort(
            list([beyond_out, beyond_aft, out_mm, aft_mm, limit_mm]) filter (where not set_apart and not is_read)
        ), []) as censored
    from corners
    group by chassis, target
),
-- About the mean of the corners that are not censored.
fitted as (
    select
        *,
        case when n > 1 then cast(sum_o as double) / n / 1e6 end as centre_out_mm,
        case when n > 1 then cast(sum_a as double) / n / 1e6 end as centre_aft_mm,
        case when n > 1 then censored_normal(
            cast(corner_count as integer),
            [
                centred_moment(n, sum_oo, sum_o, sum_o),
                centred_moment(n, sum_oa, sum_o, sum_a),
                centred_moment(n, sum_aa, sum_a, sum_a)
            ],
            [centre_out_mm, centre_aft_mm],
            censored
        ) end as fit
    from counted
)
select
    chassis,
    target,
    corner_count,
    set_apart_count,
    censored_count,
    centre_out_mm + fit.mean_out as mean_out_mm,
    centre_aft_mm + fit.mean_aft as mean_aft_mm,
    fit.var_oo as var_oo_mm2,
    fit.var_oa as var_oa_mm2,
    fit.var_aa as var_aa_mm2,
    fit.step_count
from fitted
