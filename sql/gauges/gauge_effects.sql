-- title: Effect of each gauge and person on its readings
-- grain: one row per angle and level of gauge_variances
-- source: gauge_variances
-- missing: bias_deg is NULL for a level that was never compared with another one of its factor
-- Best linear unbiased prediction (shrunken towards 0) with the variances used in gauge_variances; the bias is relative to the
-- average of those that it was compared with: nothing here knows the truth.
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column level INTEGER: number within the angle, gauges first
-- column kind VARCHAR: gauge technician pair
-- column name VARCHAR: gauge, person, or both
-- column gauge VARCHAR: gauge of the level; NULL for a person, and for readings without one
-- column technician VARCHAR: person of the level; NULL for a gauge
-- column compared_group INTEGER: levels with the same number were compared, directly or through others
-- column bias_deg DOUBLE [deg]: effect less the average of its group, weighted by what is known of each
-- column bias_var_deg2 DOUBLE [deg2]: its variance (of the error of prediction)
-- column effect_deg DOUBLE [deg]: shrunken effect
-- column effect_var_deg2 DOUBLE [deg2]: its variance (of the error of prediction)
with
comparisons as (
    select
        response,
        factors,
        unnest(first_levels) as first_level,
        unnest(second_levels) as second_level
    from gauge_variances
),
-- Levels of one factor that a chain of comparisons joins.
grouped as (
    select
        whole.response,
        connected(
            cast(len(whole.factors) as integer),
            coalesce(
                list(first_level) filter (where pairs.factors[first_level] = pairs.factors[second_level]), []
            ),
            coalesce(
                list(second_level) filter (where pairs.factors[first_level] = pairs.factors[second_level]), []
            )
        ) as groups
    from gauge_variances as whole
    left join comparisons as pairs using (response)
    group by whole.response, whole.factors
),
predicted as (
    select
        response,
        cast(unnest(range(1, len(factors) + 1)) as integer) as level,
        unnest(kinds) as kind,
        unnest(names) as name,
        unnest(gauges) as gauge,
        unnest(technicians) as technician,
        unnest(groups) as compared_group,
        unnest(predicted_effects(first_levels, second_levels, xx, xy, groups, effect_vars, used_error_var)) as predicted
    from gauge_variances
    inner join grouped using (response)
)
select
    response,
    level,
    kind,
    name,
    gauge,
    technician,
    compared_group,
    predicted.deviation as bias_deg,
    predicted.deviation_var as bias_var_deg2,
    predicted.effect as effect_deg,
    predicted.effect_var as effect_var_deg2
from predicted
