-- Correlation of two values of one cluster, by moments: mean product of deviations of pairs over the variance, brought free of what
-- the estimated mean takes off where clusters are alike in size. x: n values with sum `total` and sum of squares `square`; over the
-- clusters: sums of squared sums `sum_sum`, of sums times counts `sum_count`, of squared counts `count_count`. NULL where no
-- cluster holds two or all values are one.
create or replace temp macro icc_of(raw, n, size) as
    (raw + (1 - raw) / n) / nullif(1 - (1 - raw) * (size - 1) / n, 0);
create or replace temp macro icc(n, total, square, sum_sum, sum_count, count_count) as
    icc_of(
        (
            (sum_sum - 2 * total / n * sum_count + total / n * (total / n) * count_count)
                / nullif(square - total / n * total, 0) - 1
        ) / nullif(count_count / n - 1, 0),
        n,
        count_count / n
    );
-- The correlation that is used: what `clusters` of them tell with what is known before (`prior` at the weight of `worth` clusters), 0..1.
create or replace temp macro icc_used(found, clusters, prior, worth) as
    greatest(0, least(1, coalesce((clusters * found + worth * prior) / (clusters + worth), prior)));
-- Design effect: by how much fewer values those of clusters count for a mean; of a variance with icc * icc. Clusters of unlike size
-- (Kish, Survey Sampling, 1965, section 8.2). At least 1.
create or replace temp macro design_effect(icc, n, count_count)
    as coalesce(1 + greatest(count_count / nullif(n, 0) - 1, 0) * icc, 1);
-- What it costs that few clusters tell what they have in common: squared ratio of the t quantiles (Korn and Graubard 1998, Survey
-- Methodology 24, 193-201). 1 where each cluster holds one value.
create or replace temp macro few_clusters(n, clusters) as
    case when n > clusters then power(t_quantile(0.975, greatest(clusters - 1, 1)) / t_quantile(0.975, n - 1), 2)
        else 1 end;
