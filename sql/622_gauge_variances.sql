-- title: Variance between gauges and between people
-- grain: one row per row of gauge_moments
-- source: gauge_moments, gauge_priors
-- missing: a variance is NULL where fewer than two levels of its factor were compared
-- Restricted maximum likelihood (REML) of the mixed model reading = part (free) + gauge (random) + person (random) + error, error
-- variance proportional to 1 / weight. Fisher scoring on the ratios of the variances to the error variance, which is profiled
-- out; a ratio at 0 stays there while the likelihood falls from it (Searle, Casella and McCulloch, Variance Components, 1992,
-- chapter 6; from memory). Few levels tell little of a variance, so the effects use its mean with gauge_priors at the weight of two
-- levels.
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column gauge_var DOUBLE [deg2]: between gauges, or pairs; REML
-- column technician_var DOUBLE [deg2]: between people; REML
-- column error_var DOUBLE [deg2]: of a reading with weight 1; REML
-- column df BIGINT: readings less parts
-- column gauge_count BIGINT: gauges, or pairs, compared
-- column technician_count BIGINT: people compared
-- column used_gauge_var DOUBLE [deg2]: the one that the effects use
-- column used_technician_var DOUBLE [deg2]: the one that the effects use
with recursive
counts as (
    select
        *,
        len(list_filter(range(1, len(factors) + 1), lambda k: factors[k] = 1 and xx[k][k] > 1e-9)) as gauge_count,
        len(list_filter(range(1, len(factors) + 1), lambda k: factors[k] = 2 and xx[k][k] > 1e-9)) as technician_count
    from gauge_moments
),
steps as (
    select
        0 as step,
        response,
        case when gauge_count > 1 then cast(1 as double) else 0 end as ratio_1,
        case when technician_count > 1 then cast(1 as double) else 0 end as ratio_2,
        cast(null as double) as error_var,
        false as settled
    from counts
    union all
    (
        with
        rooted as (
            select
                steps.*,
                counts.* exclude (response),
                [sqrt(case f when 1 then ratio_1 else ratio_2 end) for f in factors] as root
            from steps
            inner join counts using (response)
            where step < 200 and not settled
        ),
        solved as (
            select
                *,
                inverse([
                    [root[i] * xx[i][j] * root[j] + case when i = j then 1 else 0 end for j in range(1, len(root) + 1)]
                    for i in range(1, len(root) + 1)
                ]) as core
            from rooted
        ),
        -- middle = D^1/2 (I + D^1/2 xx D^1/2)^-1 D^1/2
        inverted as (
            select
                *,
                [[root[i] * core[i][j] * root[j] for j in range(1, len(root) + 1)] for i in range(1, len(root) + 1)] as middle
            from solved
        ),
        projected as (
            select
                *,
                [
                    [xx[i][j] - list_inner_product(row_products(xx, middle)[i], xx[j]) for j in range(1, len(root) + 1)]
                    for i in range(1, len(root) + 1)
                ] as h,
                [xy[i] - list_inner_product(xx[i], matrix_times(middle, xy)) for i in range(1, len(root) + 1)] as g,
                (yy - list_inner_product(xy, matrix_times(middle, xy))) / df as new_error_var
            from inverted
        ),
        traced as (
            select
                *,
                list_sum([case when factors[k] = 1 then h[k][k] else 0 end for k in range(1, len(root) + 1)]) as trace_1,
                list_sum([case when factors[k] = 2 then h[k][k] else 0 end for k in range(1, len(root) + 1)]) as trace_2,
                list_sum([case when factors[k] = 1 then g[k] * g[k] else 0 end for k in range(1, len(root) + 1)]) as square_1,
                list_sum([case when factors[k] = 2 then g[k] * g[k] else 0 end for k in range(1, len(root) + 1)]) as square_2,
                list_sum(list_transform(h, lambda r, i: list_sum([case when factors[i] = 1 and factors[j] = 1 then r[j] * r[j] else 0 end for j in range(1, len(r) + 1)]))) as info_11,
                list_sum(list_transform(h, lambda r, i: list_sum([case when factors[i] = 1 and factors[j] = 2 then r[j] * r[j] else 0 end for j in range(1, len(r) + 1)]))) as info_12,
                list_sum(list_transform(h, lambda r, i: list_sum([case when factors[i] = 2 and factors[j] = 2 then r[j] * r[j] else 0 end for j in range(1, len(r) + 1)]))) as info_22
            from projected
        ),
        scored as (
            select
                *,
                square_1 / new_error_var - trace_1 as score_1,
                square_2 / new_error_var - trace_2 as score_2,
                gauge_count > 1 and (ratio_1 > 0 or score_1 > 0) as free_1,
                technician_count > 1 and (ratio_2 > 0 or score_2 > 0) as free_2,
                info_11 - trace_1 * trace_1 / df as j_11,
                info_12 - trace_1 * trace_2 / df as j_12,
                info_22 - trace_2 * trace_2 / df as j_22
            from traced
        ),
        stepped as (
            select
                *,
                case
                    when free_1 and free_2 then (j_22 * score_1 - j_12 * score_2) / (j_11 * j_22 - j_12 * j_12)
                    when free_1 then score_1 / j_11
                    else 0
                end as step_1,
                case
                    when free_1 and free_2 then (j_11 * score_2 - j_12 * score_1) / (j_11 * j_22 - j_12 * j_12)
                    when free_2 then score_2 / j_22
                    else 0
                end as step_2
            from scored
        )
        select
            step + 1 as step,
            response,
            least(greatest(ratio_1 + step_1, 0), 5 * ratio_1 + 5) as ratio_1,
            least(greatest(ratio_2 + step_2, 0), 5 * ratio_2 + 5) as ratio_2,
            new_error_var as error_var,
            abs(greatest(ratio_1 + step_1, 0) - ratio_1) <= 1e-12 * (1 + ratio_1)
                and abs(greatest(ratio_2 + step_2, 0) - ratio_2) <= 1e-12 * (1 + ratio_2) as settled
        from stepped
    )
),
last_steps as (
    select * from steps qualify row_number() over (partition by response order by step desc) = 1
),
estimated as (
    select
        response,
        case when gauge_count > 1 then ratio_1 * error_var end as gauge_var,
        case when technician_count > 1 then ratio_2 * error_var end as technician_var,
        error_var,
        counts.df,
        gauge_count,
        technician_count
    from last_steps
    inner join counts using (response)
)
select
    response,
    gauge_var,
    technician_var,
    error_var,
    df,
    gauge_count,
    technician_count,
    (greatest(gauge_count - 1, 0) * coalesce(gauge_var, 0) + 2 * bias_sd_deg * bias_sd_deg) / (greatest(gauge_count - 1, 0) + 2)
        as used_gauge_var,
    (greatest(technician_count - 1, 0) * coalesce(technician_var, 0) + 2 * bias_sd_deg * bias_sd_deg / 4)
        / (greatest(technician_count - 1, 0) + 2) as used_technician_var
from estimated
inner join gauge_priors using (response)
