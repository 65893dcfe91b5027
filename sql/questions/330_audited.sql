-- Settings against their targets, per group and response, and over all (split_by = 'overall'). by_1, by_2: technician, gauge, kit,
-- chassis, month or NULL. Response 'all' counts visits, judged as a whole. anonymous: technicians get numbers for names.
-- Spread, Cp and Cpk leave out misses at the end of the scale, which are the hardware's, and those far off, which are mistakes of
-- writing, and take errors in tolerances, so that several targets go together. The shrunken share is a beta-binomial mean without those misses: precision from the moment
-- estimate of the variance between groups (Kleinman 1973, J. Amer. Statist. Assoc. 68, 46-54), averaged with (0.05)^2, from
-- memory, at the weight of two groups.
create or replace temp macro audited(by_1, by_2, guard, come_back_days, anonymous) as table
with
settings as (
    select
        response, chassis, kit, gauge, technician, month, verdict, hit, end_of_scale, far_off, at_end, error_deg, tol_deg, u_deg,
        found_error_deg, cast(null as boolean) as counts_first, cast(null as boolean) as came_back, cast(null as boolean) as moved
    from judged_settings(guard)
    union all by name
    select
        'all' as response, chassis, kit, gauge, technician, month, verdict, hit, end_of_scale,
        first_time and (came_back or followed) as counts_first, came_back, moved
    from judged_visits(guard, come_back_days)
),
numbers as (
    select technician, 'technician ' || row_number() over (order by md5(technician)) as number
    from (select distinct technician from settings where technician is not null and technician <> 'several')
),
told as (
    select
        settings.* replace (
            case when anonymous then coalesce(number, settings.technician) else settings.technician end as technician
        )
    from settings
    left join numbers using (technician)
),
labelled as (
    select
        *,
        case by_1
            when 'technician' then coalesce(technician, '(not named)')
            when 'gauge' then coalesce(gauge, '(not named)')
            when 'kit' then coalesce(kit, '(original mount)')
            when 'chassis' then chassis
            when 'month' then coalesce(month, '(no date)')
        end as label_1,
        case by_2
            when 'technician' then coalesce(technician, '(not named)')
            when 'gauge' then coalesce(gauge, '(not named)')
            when 'kit' then coalesce(kit, '(original mount)')
            when 'chassis' then chassis
            when 'month' then coalesce(month, '(no date)')
        end as label_2
    from told
),
assigned as (
    select 'overall' as split_by, 'all' as "group", labelled.* from labelled
    union all
    select concat_ws(',', by_1, by_2) as split_by, concat_ws(' / ', label_1, label_2) as "group", labelled.*
    from labelled
    where by_1 is not null
),
-- Errors in tolerances; NULL for visits, for a tolerance of 0, for misses at the end of the scale and for those far off.
scaled as (
    select
        *,
        case when not end_of_scale and not far_off then error_deg end as own_error_deg,
        -- Towards the side from which the setting came; beyond two tolerances it is a mistake of writing.
        case
            when abs(found_error_deg) > tol_deg and not at_end and tol_deg > 0
                then least(greatest(error_deg / tol_deg * sign(found_error_deg), -2), 2)
        end as short,
        case when not end_of_scale and not far_off and tol_deg > 0 then error_deg / tol_deg end as z,
        case when not end_of_scale and not far_off and tol_deg > 0 then u_deg / tol_deg end as u_z
    from assigned
),
summed as (
    select
        split_by,
        "group",
        response,
        count(*) as count,
        count(*) filter (where verdict = 'inside') as in_count,
        count(*) filter (where verdict = 'outside') as out_count,
        count(*) filter (where verdict = 'undecided') as undecided_count,
        count(*) filter (where hit) as hit_count,
        count(*) filter (where end_of_scale) as end_of_scale_count,
        count(*) filter (where far_off) as far_off_count,
        count(own_error_deg) as own_count,
        exact_mean(own_error_deg) as mean_error_deg,
        sqrt(nullif(centred_moment(count(own_error_deg), moment(own_error_deg, own_error_deg), sum(micro(own_error_deg)), sum(micro(own_error_deg))), 0)
            / nullif(count(own_error_deg) - 1, 0)) as sd_deg,
        sqrt(exact_mean(case when own_error_deg is not null then u_deg * u_deg end)) as gauge_sd_deg,
        count(z) as z_count,
        exact_mean(z) as z_mean,
        sqrt(nullif(centred_moment(count(z), moment(z, z), sum(micro(z)), sum(micro(z))), 0) / nullif(count(z) - 1, 0)) as z_sd,
        sqrt(exact_mean(u_z * u_z)) as z_gauge_sd,
        count(*) filter (where abs(z) > 0.75 and abs(z) <= 1) as edge_count,
        count(*) filter (where abs(z) > 0.5 and abs(z) <= 0.75) as before_edge_count,
        count(short) as came_count,
        exact_mean(short) as short_mean,
        sqrt(nullif(centred_moment(count(short), moment(short, short), sum(micro(short)), sum(micro(short))), 0)
            / nullif(count(short) - 1, 0) / count(short)) as short_std_error,
        count(*) filter (where counts_first) as first_count,
        count(*) filter (where counts_first and hit and not came_back) as first_hit_count,
        count(*) filter (where came_back) as come_back_count,
        count(*) filter (where moved) as come_back_moved_count,
        count(*) filter (where came_back and not moved) as come_back_unmoved_count
    from scaled
    group by split_by, "group", response
),
-- Misses at the end of the scale say nothing about the hands.
reachable as (
    select *, count - end_of_scale_count as reach_count from summed
),
shop as (
    select
        split_by,
        response,
        count(*) as group_count,
        (sum(hit_count) + 0.5) / (sum(reach_count) + 1) as shop_share,
        sum(reach_count) as n,
        exact_sum(cast(reach_count as double) * reach_count) as n_square
    from reachable
    group by split_by, response
),
between_groups as (
    select
        shop.split_by,
        shop.response,
        any_value(group_count) as group_count,
        any_value(shop_share) as shop_share,
        (
            2 * power(0.05, 2)
            + greatest(any_value(group_count) - 1, 0) * coalesce(
                greatest(
                    (
                        exact_sum(reach_count * power(hit_count / nullif(reach_count, 0) - shop_share, 2))
                        - (any_value(group_count) - 1) * any_value(shop_share) * (1 - any_value(shop_share))
                    ) / nullif(any_value(n) - any_value(n_square) / any_value(n) - (any_value(group_count) - 1), 0),
                    0
                ),
                0
            )
        ) / (2 + greatest(any_value(group_count) - 1, 0)) as between_var
    from shop
    inner join reachable using (split_by, response)
    group by shop.split_by, shop.response
),
drawn_in as (
    select
        reachable.*,
        group_count,
        shop_share,
        greatest(shop_share * (1 - shop_share) / between_var - 1, 1) as prior_count,
        (hit_count + prior_count * shop_share) / (reach_count + prior_count) as shrunk_share
    from reachable
    inner join between_groups using (split_by, response)
),
spread as (
    select
        *,
        shrunk_share * (1 - shrunk_share) / (reach_count + prior_count + 1) as shrunk_var
    from drawn_in
),
-- Which other groups are better or worse with more than 95 % probability.
ordered as (
    select
        one.split_by,
        one."group",
        one.response,
        count(*) filter (where normal_cdf((other.shrunk_share - one.shrunk_share) / sqrt(one.shrunk_var + other.shrunk_var)) > 0.95) as better_count,
        count(*) filter (where normal_cdf((one.shrunk_share - other.shrunk_share) / sqrt(one.shrunk_var + other.shrunk_var)) > 0.95) as worse_count
    from spread as one
    inner join spread as other on other.split_by = one.split_by and other.response = one.response and other."group" <> one."group"
    group by one.split_by, one."group", one.response
),
months as (
    select response, 1 - hit_count / count as miss_share from summed where split_by = 'overall'
),
ranked as (
    select
        spread.*,
        row_number() over (partition by spread.split_by, spread.response order by shrunk_share desc, "group") as place,
        coalesce(better_count, 0) as better_count,
        coalesce(worse_count, 0) as worse_count,
        miss_share,
        -- Spread of the true errors, in tolerances.
        sd_left(z_sd, z_gauge_sd) as z_own_sd
    from spread
    left join ordered using (split_by, "group", response)
    left join months using (response)
)
select
    split_by,
    "group",
    response,
    count,
    in_count,
    out_count,
    undecided_count,
    hit_count,
    hit_count / count as hit_share,
    wilson_low(hit_count, count) as conf_low,
    wilson_high(hit_count, count) as conf_high,
    end_of_scale_count,
    far_off_count,
    mean_error_deg,
    sd_deg,
    gauge_sd_deg,
    sd_left(sd_deg, gauge_sd_deg) as workmanship_sd_deg,
    sd_left_limit(sd_deg, gauge_sd_deg, own_count - 1, 0.025) as workmanship_sd_low_deg,
    sd_left_limit(sd_deg, gauge_sd_deg, own_count - 1, 0.975) as workmanship_sd_high_deg,
    capability_cp(z_sd, -1, 1) as cp,
    cp_limit(capability_cp(z_sd, -1, 1), z_count - 1, 0.025) as cp_conf_low,
    cp_limit(capability_cp(z_sd, -1, 1), z_count - 1, 0.975) as cp_conf_high,
    capability_cpk(z_mean, z_sd, -1, 1) as cpk,
    cpk_limit(capability_cpk(z_mean, z_sd, -1, 1), z_count, 0.025) as cpk_conf_low,
    cpk_limit(capability_cpk(z_mean, z_sd, -1, 1), z_count, 0.975) as cpk_conf_high,
    case when z_own_sd > 0 then p_accepted(z_mean, z_own_sd, 0, 1) end as share_truly_inside,
    case
        when z_own_sd > 0 and p_accepted(z_mean, z_own_sd, z_gauge_sd, 1 - guard * z_gauge_sd) > 1e-9
        then p_falsely_accepted(z_mean, z_own_sd, z_gauge_sd, 1, 1 - guard * z_gauge_sd)
            / p_accepted(z_mean, z_own_sd, z_gauge_sd, 1 - guard * z_gauge_sd)
    end as share_wrongly_inside,
    edge_count,
    before_edge_count,
    p_at_least_by_halves(edge_count, edge_count + before_edge_count) as p_edge_by_chance,
    came_count,
    short_mean as short_share,
    short_mean - t_quantile(0.975, came_count - 1) * short_std_error as short_conf_low,
    short_mean + t_quantile(0.975, came_count - 1) * short_std_error as short_conf_high,
    1 - t_cdf(short_mean / short_std_error, came_count - 1) as p_short_by_chance,
    case when split_by <> 'overall' then shrunk_share end as shrunk_share,
    case when split_by <> 'overall' then beta_quantile(0.025, hit_count + prior_count * shop_share, reach_count - hit_count + prior_count * (1 - shop_share)) end
        as shrunk_conf_low,
    case when split_by <> 'overall' then beta_quantile(0.975, hit_count + prior_count * shop_share, reach_count - hit_count + prior_count * (1 - shop_share)) end
        as shrunk_conf_high,
    case when split_by <> 'overall' then place end as rank,
    case when split_by <> 'overall' then 1 + better_count end as rank_low,
    case when split_by <> 'overall' then group_count - worse_count end as rank_high,
    case when split_by = 'month' then miss_share end as chart_centre,
    case when split_by = 'month' then p_chart_low(miss_share, count) end as chart_low,
    case when split_by = 'month' then p_chart_high(miss_share, count) end as chart_high,
    case when response = 'all' then first_count end as first_count,
    case when response = 'all' then first_hit_count end as first_hit_count,
    case when response = 'all' then come_back_count end as come_back_count,
    case when response = 'all' then come_back_moved_count end as come_back_moved_count,
    case when response = 'all' then come_back_unmoved_count end as come_back_unmoved_count
from ranked;
