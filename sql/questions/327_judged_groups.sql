-- Groups of judged settings and visits (see judged_sums) with means, spreads, and how many settings count as one independent one.
-- The car is the cluster: its two sides and its visits are alike, so counts are divided by a design effect (Korn and Graubard 1998,
-- Survey Methodology 24, 193-201, for the share; of a variance with the squared correlation). sd and z, errors in tolerances, leave out
-- misses at the end of the scale, which are the hardware's, and those far off, which are mistakes of writing.
create or replace temp macro judged_groups(by_1, by_2, guard, come_back_days, anonymous) as table
with
summed as (
    select
        *,
        cast(own_sum as double) / nullif(own_count, 0) / 1e6 as mean_error_deg,
        sqrt(nullif(centred_moment(own_count, own_square, own_sum, own_sum), 0) / nullif(own_count - 1, 0)) as sd_deg,
        sqrt(cast(own_u_square_sum as double) / nullif(own_count, 0) / 1e6) as gauge_sd_deg,
        cast(z_sum as double) / nullif(z_count, 0) / 1e6 as z_mean,
        sqrt(nullif(centred_moment(z_count, z_square, z_sum, z_sum), 0) / nullif(z_count - 1, 0)) as z_sd,
        sqrt(cast(z_u_square_sum as double) / nullif(z_count, 0) / 1e6) as z_gauge_sd,
        sqrt(cast(z_true_square_sum as double) / nullif(z_count, 0) / 1e6) as z_true_u,
        sqrt(cast(z_bias_square_sum as double) / nullif(z_count, 0) / 1e6) as z_bias_sd,
        cast(short_sum as double) / nullif(came_count, 0) / 1e6 as short_mean,
        sqrt(nullif(centred_moment(came_count, short_square, short_sum, short_sum), 0) / nullif(came_count - 1, 0)
            / came_count) as short_plain_error,
        icc(count, cast(hit_count as double), hit_count, hit_hit_cars, hit_count_cars, count_count_cars) as hit_found,
        icc(
            nullif(z_count, 0), cast(z_sum as double) / 1e6, cast(z_square as double) / 1e12,
            cast(z_z_cars as double) / 1e12, cast(z_count_cars as double) / 1e6, z_count_count_cars
        ) as z_found,
        icc(
            nullif(came_count, 0), cast(short_sum as double) / 1e6, cast(short_square as double) / 1e12,
            cast(short_short_cars as double) / 1e12, cast(short_count_cars as double) / 1e6, came_count_cars
        ) as short_found
    from judged_sums(by_1, by_2, guard, come_back_days, anonymous)
),
-- What the two sides and the visits of one car have in common: a quarter, from memory, until five cars say otherwise; of a group as of
-- all until ten of its own do; a group of all settings is all.
of_all as (
    select
        response,
        count as all_count,
        1 - hit_count / count as miss_share,
        icc_used(hit_found, car_count, 0.25, 5) as hit_all,
        icc_used(z_found, car_count, 0.25, 5) as z_all,
        icc_used(short_found, car_count, 0.25, 5) as short_all
    from summed
    where split_by = 'overall'
),
alike as (
    select
        *,
        case when count = all_count then hit_all else icc_used(hit_found, car_count, hit_all, 10) end as hit_icc,
        case when count = all_count then z_all else icc_used(z_found, car_count, z_all, 10) end as z_icc,
        case when count = all_count then short_all else icc_used(short_found, car_count, short_all, 10) end
            as short_icc
    from summed
    inner join of_all using (response)
)
select
    *,
    design_effect(hit_icc, count, count_count_cars) * few_clusters(count, car_count) as hit_effect,
    design_effect(z_icc, z_count, z_count_count_cars) as z_effect,
    design_effect(z_icc * z_icc, z_count, z_count_count_cars) as z_sd_effect,
    design_effect(short_icc, came_count, came_count_cars) as short_effect,
    short_plain_error * sqrt(short_effect) as short_std_error,
    -- Spread of the true errors, in tolerances.
    sd_left(z_sd, z_gauge_sd) as z_own_sd,
    -- Misses at the end of the scale say nothing about the hands. Counts as those of independent settings.
    count - end_of_scale_count as reach_count,
    reach_count / hit_effect as reach_n,
    hit_count / hit_effect as hit_n
from alike;
