-- Settings against their targets, per group and response, and over all (split_by = 'overall'): see judged_sums and judged_groups.
-- Spread, Cp and Cpk take errors in tolerances, so that several targets go together. The shrunken share is a beta-binomial mean
-- without misses at the end of the scale: precision from the moment estimate of the variance between groups (Kleinman 1973, J. Amer.
-- Statist. Assoc. 68, 46-54), averaged with (0.05)^2, from memory, at the weight of two groups. Ranks are simultaneous: one pair of
-- groups in all that is put in order by mistake in 5 % of audits.
create or replace temp macro audited(by_1, by_2, guard, come_back_days, anonymous) as table
with
judged as (
    select *, p_accepted(z_mean, z_own_sd, z_gauge_sd, 1 - guard * z_true_u) as p_read_inside
    from judged_groups(by_1, by_2, guard, come_back_days, anonymous)
),
shop as (
    select
        response,
        count(*) as group_count,
        (sum(hit_count) + 0.5) / (sum(reach_count) + 1) as shop_share,
        exact_sum(reach_n) as n,
        exact_sum(reach_n * reach_n) as n_square
    from judged
    where split_by <> 'overall'
    group by response
),
between_groups as (
    select
        response,
        group_count,
        shop_share,
        (
            2 * power(0.05, 2)
            + (group_count - 1) * coalesce(
                greatest(
                    (
                        exact_sum(reach_n * power(hit_count / nullif(reach_count, 0) - shop_share, 2))
                        - (group_count - 1) * shop_share * (1 - shop_share)
                    ) / nullif(n - n_square / n - (group_count - 1), 0),
                    0
                ),
                0
            )
        ) / (2 + group_count - 1) as between_var
    from shop
    inner join judged using (response)
    where split_by <> 'overall'
    group by response, group_count, shop_share, n, n_square
),
shrunk as (
    select
        split_by,
        response,
        "group",
        greatest(shop_share * (1 - shop_share) / between_var - 1, 1) as prior_count,
        hit_n + prior_count * shop_share as hits,
        reach_n - hit_n + prior_count * (1 - shop_share) as misses,
        hits / (reach_n + prior_count) as shrunk_share,
        shrunk_share * (1 - shrunk_share) / (reach_n + prior_count + 1) as shrunk_var
    from judged
    inner join between_groups using (response)
    where split_by <> 'overall'
),
ranked as (
    select
        response,
        unnest(list("group" order by shrunk_share desc, "group")) as "group",
        unnest(range(1, 1 + count(*))) as rank,
        unnest(
            rank_intervals(
                list(shrunk_share order by shrunk_share desc, "group"),
                list(shrunk_var order by shrunk_share desc, "group"), 0.05
            ),
            recursive := true
        )
    from shrunk
    group by response
)
select
    judged.split_by,
    judged."group",
    judged.response,
    count,
    in_count,
    out_count,
    undecided_count,
    hit_count,
    hit_count / count as hit_share,
    wilson_low(hit_n, count / hit_effect) as conf_low,
    wilson_high(hit_n, count / hit_effect) as conf_high,
    car_count,
    hit_effect as design_effect,
    end_of_scale_count,
    far_off_count,
    mean_error_deg,
    sd_deg,
    gauge_sd_deg,
    sd_left(sd_deg, gauge_sd_deg) as workmanship_sd_deg,
    sd_left_limit(sd_deg, gauge_sd_deg, (own_count - 1) / z_sd_effect, 0.025) as workmanship_sd_low_deg,
    sd_left_limit(sd_deg, gauge_sd_deg, (own_count - 1) / z_sd_effect, 0.975) as workmanship_sd_high_deg,
    capability_cp(z_sd, -1, 1) as cp,
    cp_limit(cp, (z_count - 1) / z_sd_effect, 0.025) as cp_conf_low,
    cp_limit(cp, (z_count - 1) / z_sd_effect, 0.975) as cp_conf_high,
    capability_cpk(z_mean, z_sd, -1, 1) as cpk,
    cpk_limit(cpk, z_count / z_effect, (z_count - 1) / z_sd_effect, 0.025) as cpk_conf_low,
    cpk_limit(cpk, z_count / z_effect, (z_count - 1) / z_sd_effect, 0.975) as cpk_conf_high,
    case when z_own_sd > 0 then p_accepted(z_mean, z_own_sd, z_bias_sd, 1) end * z_count
        / (z_count + end_of_scale_count) as share_truly_inside,
    case when z_own_sd > 0 and p_read_inside > 1e-9 then
        p_biased_accepted(z_mean, z_own_sd, z_gauge_sd, z_bias_sd, 1, 1 - guard * z_true_u) / p_read_inside
    end as share_wrongly_inside,
    edge_count,
    before_edge_count,
    p_at_least_by_halves(edge_count, edge_count + before_edge_count) as p_edge_by_chance,
    came_count,
    short_mean as short_share,
    short_mean - t_quantile(0.975, came_count / short_effect - 1) * short_std_error as short_conf_low,
    short_mean + t_quantile(0.975, came_count / short_effect - 1) * short_std_error as short_conf_high,
    1 - t_cdf(short_mean / short_std_error, came_count / short_effect - 1) as p_short_by_chance,
    shrunk_share,
    beta_quantile(0.025, hits, misses) as shrunk_conf_low,
    beta_quantile(0.975, hits, misses) as shrunk_conf_high,
    rank,
    rank_low,
    rank_high,
    case when judged.split_by = 'month' then miss_share end as chart_centre,
    case when judged.split_by = 'month' then p_chart_low(miss_share, count / hit_effect) end as chart_low,
    case when judged.split_by = 'month' then p_chart_high(miss_share, count / hit_effect) end as chart_high,
    case when response = 'all' then columns('^(first|come_back)_') end as "\0"
from judged
left join shrunk using (split_by, "group", response)
left join ranked
    on ranked."group" = judged."group" and ranked.response = judged.response and judged.split_by <> 'overall';
