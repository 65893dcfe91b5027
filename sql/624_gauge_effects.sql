-- title: What a gauge or a person adds to every reading
-- grain: one row per level of gauge_factors
-- source: gauge_moments, gauge_variances, gauge_factors, gauge_groups, reading_noise
-- missing: bias_deg is NULL for a level that was never compared with another one of its factor
-- Best linear unbiased prediction (shrunken towards 0) with the variances used in gauge_variances; the bias is relative to the
-- average of those that it was compared with: nothing here knows the truth. The error variance is the one of reading_noise where the
-- comparison has few degrees of freedom (four of its weight).
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column kind VARCHAR: gauge technician pair
-- column name VARCHAR: gauge, person, or both
-- column gauge VARCHAR: gauge of the level
-- column technician VARCHAR: person of the level
-- column compared_group INTEGER: levels with the same number were compared, directly or through others
-- column bias_deg DOUBLE [deg]: effect less the average of its group, weighted by what is known of each
-- column bias_var_deg2 DOUBLE [deg2]: its variance (of the error of prediction)
-- column effect_deg DOUBLE [deg]: shrunken effect
-- column effect_var_deg2 DOUBLE [deg2]: its variance (of the error of prediction)
with
typical as (
    select response, sd_deg * sd_deg as typical_var from reading_noise where gauge is null
),
rated as (
    select
        moments.*,
        gauge_count,
        technician_count,
        (variances.df * error_var + 4 * typical_var) / (variances.df + 4) as error_var,
        used_gauge_var,
        used_technician_var
    from gauge_moments as moments
    inner join gauge_variances as variances using (response)
    inner join typical using (response)
),
rooted as (
    select
        *,
        [sqrt(case f when 1 then used_gauge_var else used_technician_var end / error_var) for f in factors] as root
    from rated
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
effects as (
    select
        *,
        [[root[i] * core[i][j] * root[j] for j in range(1, len(root) + 1)] for i in range(1, len(root) + 1)] as middle
    from solved
),
predicted as (
    select
        response,
        levels,
        gauge_count,
        technician_count,
        unnest(levels) as level,
        matrix_times(middle, xy) as effect,
        [[m * error_var for m in r] for r in middle] as cov,
        [xx[i][i] for i in range(1, len(root) + 1)] as information
    from effects
),
-- Weights of the average that a level is compared with.
compared as (
    select
        predicted.*,
        kind,
        name,
        gauge,
        technician,
        groups.compared_group,
        list_position(levels, level) as own,
        (
            select list(case when factors.kind = gauge_factors.kind and others.compared_group = groups.compared_group then 1 else 0 end order by others.level)
            from gauge_groups as others
            inner join gauge_factors as factors using (response, level)
            where others.response = predicted.response
        ) as together
    from predicted
    inner join gauge_factors using (response, level)
    inner join gauge_groups as groups using (response, level)
),
averaged as (
    select
        *,
        list_inner_product(together, information) as total,
        [together[j] * information[j] / list_inner_product(together, information) for j in range(1, len(levels) + 1)] as share
    from compared
)
select
    response,
    kind,
    name,
    gauge,
    technician,
    compared_group,
    case when list_sum(together) > 1 then effect[own] - list_inner_product(share, effect) end as bias_deg,
    case
        when list_sum(together) > 1
        then cov[own][own] - 2 * list_inner_product(share, cov[own]) + list_inner_product(share, matrix_times(cov, share))
    end as bias_var_deg2,
    effect[own] as effect_deg,
    cov[own][own] as effect_var_deg2
from averaged
