-- Settings against their targets, per group and response, and over all (split_by = 'overall'). by_1, by_2: technician, gauge, kit,
-- chassis, month or NULL. Response 'all' counts visits, judged as a whole. anonymous: technicians get numbers for names.
-- Spread, Cp and Cpk leave out misses at the end of the scale, which are the hardware's, and those far off, which are mistakes of
-- writing, and take errors in tolerances, so that several targets go together. The shrunken share is a beta-binomial mean without those misses: precision from the moment
-- estimate of the variance between groups (Kleinman 1973, J. Amer. Statist. Assoc. 68, 46-54), averaged with (0.05)^2, from
-- memory, at the weight of two groups. The car is the cluster: its two sides and its visits are alike, so counts are divided by a design
-- effect (Korn and Graubard 1998, Survey Methodology 24, 193-201, for the share; of a variance with the squared correlation). Ranks
-- are simultaneous: one pair of groups in all that is put in order by mistake in 5 % of audits.
create or replace temp macro audited(by_1, by_2, guard, come_back_days, anonymous) as table
with
-- Over all, and by chassis, the sums for the usual guard band stand in chassis_sums.
stored_sums as (
    select
        case when by_1 = 'chassis' then chassis end as label_1,
        cast(null as varchar) as label_2,
        chassis_sums.* exclude (chassis) replace (
            cast(own_square as hugeint) as own_square,
            cast(z_square as hugeint) as z_square,
            cast(z_z_cars as hugeint) as z_z_cars,
            cast(short_short_cars as hugeint) as short_short_cars,
            cast(short_square as hugeint) as short_square
        )
    from chassis_sums
    where guard = 1.65 and coalesce(by_1, 'chassis') = 'chassis' and by_2 is null
),
settings_summed as (
    select label_1, label_2, response, vehicle,
        setting_sums(
            verdict, hit, end_of_scale, far_off, own_deg, scatter_u_deg, apart_u_deg, u_deg, z, tol_deg, short
        ) as sums
    from (
        select
            audit_label(by_1, technician, gauge, kit, chassis, month) as label_1,
            audit_label(by_2, technician, gauge, kit, chassis, month) as label_2,
            *,
            own_error(error_deg, end_of_scale, far_off) as own_deg,
            case when tol_deg > 0 then own_deg / tol_deg end as z,
            stopped_short(error_deg, tol_deg, found_error_deg, at_end) as short
        from judged_settings(guard)
        where guard <> 1.65 or coalesce(by_1, 'chassis') <> 'chassis' or by_2 is not null
    )
    group by label_1, label_2, response, vehicle
),
visits_summed as (
    select
        audit_label(by_1, technician, gauge, kit, chassis, month) as label_1,
        audit_label(by_2, technician, gauge, kit, chassis, month) as label_2,
        'all' as response,
        vehicle,
        setting_sums(
            verdict, hit, end_of_scale, false, cast(null as double), cast(null as double), cast(null as double),
            cast(null as double), cast(null as double), cast(null as double), cast(null as double)
        ) as sums,
        count(*) filter (where first_time and (came_back or followed)) as first_count,
        count(*) filter (where first_time and followed and hit and not came_back) as first_hit_count,
        count(*) filter (where came_back) as come_back_count,
        count(*) filter (where moved) as come_back_moved_count,
        count(*) filter (where came_back and not moved) as come_back_unmoved_count
    from judged_visits(guard, come_back_days)
    group by label_1, label_2, vehicle
),
-- One row for each car of a group.
sums as (
    from settings_summed
    union all by name
    from visits_summed
),
numbers as (
    select technician, 'technician ' || row_number() over (order by md5(technician)) as number
    from (
        select distinct technician from target_settings where not_judged is null and technician is not null
        and technician <> 'several'
    )
    where anonymous
),
told as (
    select
        sums.* replace (
            case when by_1 = 'technician' then coalesce(number, label_1) else label_1 end as label_1,
            case when by_2 = 'technician' then coalesce(number, label_2) else label_2 end as label_2
        )
    from sums
    left join numbers
        on numbers.technician = case when by_1 = 'technician' then label_1 when by_2 = 'technician' then label_2 end
),
assigned as (
    select 'overall' as split_by, 'all' as "group", told.* from told
    union all
    select concat_ws(',', by_1, by_2) as split_by, concat_ws(' / ', label_1, label_2) as "group", told.*
    from told
    where by_1 is not null
),
by_car as (
    select
        split_by,
        "group",
        response,
        added_settings(sums) as sums,
        cast(sum(first_count) as bigint) as first_count,
        cast(sum(first_hit_count) as bigint) as first_hit_count,
        cast(sum(come_back_count) as bigint) as come_back_count,
        cast(sum(come_back_moved_count) as bigint) as come_back_moved_count,
        cast(sum(come_back_unmoved_count) as bigint) as come_back_unmoved_count
    from assigned
    group by split_by, "group", response, vehicle
),
by_group as (
    select
        split_by,
        "group",
        response,
        added_settings(sums) as sums,
        car_sums(sums) as cars,
        cast(sum(first_count) as bigint) as first_count,
        cast(sum(first_hit_count) as bigint) as first_hit_count,
        cast(sum(come_back_count) as bigint) as come_back_count,
        cast(sum(come_back_moved_count) as bigint) as come_back_moved_count,
        cast(sum(come_back_unmoved_count) as bigint) as come_back_unmoved_count
    from by_car
    group by split_by, "group", response
),
stored_assigned as (
    select 'overall' as split_by, 'all' as "group", stored_sums.* from stored_sums
    union all
    select by_1 as split_by, label_1 as "group", stored_sums.*
    from stored_sums
    where by_1 is not null
),
-- A car is of one chassis.
stored_by_group as (
    select
        split_by,
        "group",
        response,
        added_settings(stored_assigned) as sums,
        added_cars(stored_assigned) as cars
    from stored_assigned
    group by split_by, "group", response
),
added as (
    select by_group.* exclude (sums, cars), unnest(sums), unnest(cars) from by_group
    union all by name
    select stored_by_group.* exclude (sums, cars), unnest(sums), unnest(cars) from stored_by_group
),
summed as (
    select
        split_by,
        "group",
        response,
        count,
        in_count,
        out_count,
        undecided_count,
        hit_count,
        end_of_scale_count,
        coalesce(far_off_count, 0) as far_off_count,
        coalesce(own_count, 0) as own_count,
        cast(own_sum as double) / nullif(own_count, 0) / 1e6 as mean_error_deg,
        sqrt(nullif(centred_moment(own_count, own_square, own_sum, own_sum), 0) / nullif(own_count - 1, 0)) as sd_deg,
        sqrt(cast(own_u_square_sum as double) / nullif(own_count, 0) / 1e6) as gauge_sd_deg,
        coalesce(z_count, 0) as z_count,
        cast(z_sum as double) / nullif(z_count, 0) / 1e6 as z_mean,
        sqrt(nullif(centred_moment(z_count, z_square, z_sum, z_sum), 0) / nullif(z_count - 1, 0)) as z_sd,
        sqrt(cast(z_u_square_sum as double) / nullif(z_count, 0) / 1e6) as z_gauge_sd,
        sqrt(cast(z_true_square_sum as double) / nullif(z_count, 0) / 1e6) as z_true_u,
        sqrt(cast(z_bias_square_sum as double) / nullif(z_count, 0) / 1e6) as z_bias_sd,
        coalesce(edge_count, 0) as edge_count,
        coalesce(before_edge_count, 0) as before_edge_count,
        coalesce(came_count, 0) as came_count,
        cast(short_sum as double) / nullif(came_count, 0) / 1e6 as short_mean,
        sqrt(nullif(centred_moment(came_count, short_square, short_sum, short_sum), 0) / nullif(came_count - 1, 0)
            / came_count) as short_plain_error,
        car_count,
        count_count_cars,
        z_count_count_cars,
        came_count_cars,
        icc(count, cast(hit_count as double), hit_count, hit_hit_cars, hit_count_cars, count_count_cars) as hit_icc,
        icc(
            nullif(z_count, 0), cast(z_sum as double) / 1e6, cast(z_square as double) / 1e12,
            cast(z_z_cars as double) / 1e12, cast(z_count_cars as double) / 1e6, z_count_count_cars
        ) as z_icc,
        icc(
            nullif(came_count, 0), cast(short_sum as double) / 1e6, cast(short_square as double) / 1e12,
            cast(short_short_cars as double) / 1e12, cast(short_count_cars as double) / 1e6, came_count_cars
        ) as short_icc,
        coalesce(first_count, 0) as first_count,
        coalesce(first_hit_count, 0) as first_hit_count,
        coalesce(come_back_count, 0) as come_back_count,
        coalesce(come_back_moved_count, 0) as come_back_moved_count,
        coalesce(come_back_unmoved_count, 0) as come_back_unmoved_count
    from added
),
-- What the two sides and the visits of one car have in common: a quarter, from memory, until five cars say otherwise; of a group as of
-- all until ten of its own do.
of_all as (
    select
        response,
        icc_used(hit_icc, car_count, 0.25, 5) as hit_icc,
        icc_used(z_icc, car_count, 0.25, 5) as z_icc,
        icc_used(short_icc, car_count, 0.25, 5) as short_icc
    from summed
    where split_by = 'overall'
),
alike as (
    select
        summed.* exclude (hit_icc, z_icc, short_icc),
        case when split_by = 'overall' then of_all.hit_icc
            else icc_used(summed.hit_icc, car_count, of_all.hit_icc, 10) end as hit_icc,
        case when split_by = 'overall' then of_all.z_icc else icc_used(summed.z_icc, car_count, of_all.z_icc, 10) end
            as z_icc,
        case when split_by = 'overall' then of_all.short_icc
            else icc_used(summed.short_icc, car_count, of_all.short_icc, 10) end as short_icc
    from summed
    inner join of_all using (response)
),
effects as (
    select
        *,
        design_effect(hit_icc, count, count_count_cars) * few_clusters(count, car_count) as hit_effect,
        design_effect(z_icc, z_count, z_count_count_cars) as z_effect,
        design_effect(z_icc * z_icc, z_count, z_count_count_cars) as z_sd_effect,
        design_effect(short_icc, came_count, came_count_cars) as short_effect,
        short_plain_error * sqrt(short_effect) as short_std_error
    from alike
),
-- Misses at the end of the scale say nothing about the hands. Counts as those of independent settings.
reachable as (
    select
        *,
        count - end_of_scale_count as reach_count,
        reach_count / hit_effect as reach_n,
        hit_count / hit_effect as hit_n
    from effects
),
shop as (
    select
        split_by,
        response,
        count(*) as group_count,
        (sum(hit_count) + 0.5) / (sum(reach_count) + 1) as shop_share,
        exact_sum(reach_n) as n,
        exact_sum(reach_n * reach_n) as n_square
    from reachable
    group by split_by, response
),
between_groups as (
    select
        shop.split_by, shop.response, any_value(group_count) as group_count, any_value(shop_share) as shop_share,
        (
            2 * power(0.05, 2)
            + greatest(any_value(group_count) - 1, 0) * coalesce(
                greatest(
                    (
                        exact_sum(reach_n * power(hit_count / nullif(reach_count, 0) - shop_share, 2))
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
        (hit_n + prior_count * shop_share) / (reach_n + prior_count) as shrunk_share
    from reachable
    inner join between_groups using (split_by, response)
),
spread as (
    select
        *,
        shrunk_share * (1 - shrunk_share) / (reach_n + prior_count + 1) as shrunk_var
    from drawn_in
),
-- All pairs of groups, Holm (1979): with 95 % probability no group is put before one that is as good.
pairs as (
    select
        one.split_by,
        one.response,
        one."group" as first,
        other."group" as second,
        (one.shrunk_share - other.shrunk_share) / sqrt(one.shrunk_var + other.shrunk_var) as deviate
    from spread as one
    inner join spread as other on other.split_by = one.split_by and other.response = one.response
        and other."group" > one."group"
),
placed as (
    select
        *,
        2 * normal_cdf(-abs(deviate))
            * (count(*) over (partition by split_by, response) - row_number() over by_size + 1) as p_raised
    from pairs
    window by_size as (partition by split_by, response order by abs(deviate) desc, first, second)
),
held as (
    select
        *,
        max(p_raised) over (
            partition by split_by, response order by abs(deviate) desc, first, second
            rows between unbounded preceding and current row
        ) <= 0.05 as is_different
    from placed
),
ordered as (
    select
        split_by,
        response,
        "group",
        count(*) filter (where is_better) as worse_count,
        count(*) filter (where not is_better) as better_count
    from (
        select split_by, response, first as "group", deviate > 0 as is_better from held where is_different
        union all
        select split_by, response, second as "group", deviate < 0 as is_better from held where is_different
    )
    group by split_by, response, "group"
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
    wilson_low(hit_count / hit_effect, count / hit_effect) as conf_low,
    wilson_high(hit_count / hit_effect, count / hit_effect) as conf_high,
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
    cp_limit(capability_cp(z_sd, -1, 1), (z_count - 1) / z_sd_effect, 0.025) as cp_conf_low,
    cp_limit(capability_cp(z_sd, -1, 1), (z_count - 1) / z_sd_effect, 0.975) as cp_conf_high,
    capability_cpk(z_mean, z_sd, -1, 1) as cpk,
    cpk_limit(capability_cpk(z_mean, z_sd, -1, 1), z_count / z_effect, (z_count - 1) / z_sd_effect, 0.025)
        as cpk_conf_low,
    cpk_limit(capability_cpk(z_mean, z_sd, -1, 1), z_count / z_effect, (z_count - 1) / z_sd_effect, 0.975)
        as cpk_conf_high,
    case when z_own_sd > 0 then p_accepted(z_mean, z_own_sd, z_bias_sd, 1) end as share_truly_inside,
    case
        when z_own_sd > 0 and p_accepted(z_mean, z_own_sd, z_gauge_sd, 1 - guard * z_true_u) > 1e-9
        then p_biased_accepted(z_mean, z_own_sd, z_gauge_sd, z_bias_sd, 1, 1 - guard * z_true_u)
            / p_accepted(z_mean, z_own_sd, z_gauge_sd, 1 - guard * z_true_u)
    end as share_wrongly_inside,
    edge_count,
    before_edge_count,
    p_at_least_by_halves(edge_count, edge_count + before_edge_count) as p_edge_by_chance,
    came_count,
    short_mean as short_share,
    short_mean - t_quantile(0.975, came_count / short_effect - 1) * short_std_error as short_conf_low,
    short_mean + t_quantile(0.975, came_count / short_effect - 1) * short_std_error as short_conf_high,
    1 - t_cdf(short_mean / short_std_error, came_count / short_effect - 1) as p_short_by_chance,
    case when split_by <> 'overall' then shrunk_share end as shrunk_share,
    case when split_by <> 'overall'
        then beta_quantile(0.025, hit_n + prior_count * shop_share, reach_n - hit_n + prior_count * (1 - shop_share))
    end as shrunk_conf_low,
    case when split_by <> 'overall'
        then beta_quantile(0.975, hit_n + prior_count * shop_share, reach_n - hit_n + prior_count * (1 - shop_share))
    end as shrunk_conf_high,
    case when split_by <> 'overall' then place end as rank,
    case when split_by <> 'overall' then 1 + better_count end as rank_low,
    case when split_by <> 'overall' then group_count - worse_count end as rank_high,
    case when split_by = 'month' then miss_share end as chart_centre,
    case when split_by = 'month' then p_chart_low(miss_share, count / hit_effect) end as chart_low,
    case when split_by = 'month' then p_chart_high(miss_share, count / hit_effect) end as chart_high,
    case when response = 'all' then first_count end as first_count,
    case when response = 'all' then first_hit_count end as first_hit_count,
    case when response = 'all' then come_back_count end as come_back_count,
    case when response = 'all' then come_back_moved_count end as come_back_moved_count,
    case when response = 'all' then come_back_unmoved_count end as come_back_unmoved_count
from ranked;
