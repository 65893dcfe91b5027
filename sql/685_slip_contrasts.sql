-- title: Do plates slip more often here than there
-- grain: one row per factor and pair of its levels
-- source: slip_rates
-- missing: ratio_high is NULL where it has no end
-- Ratio of expected slips per corner session, exact by the conditional binomial (given the sum of both, the first is binomial with
-- probability n1 r / (n1 r + n2)); two-sided p value of ratio 1, twice the smaller tail. Adjusted for the number of pairs of all
-- factors: false discovery rate (Benjamini and Hochberg) and family-wise (Holm).
-- column factor VARCHAR: surface kit bearing plate_index
-- column level VARCHAR: value compared
-- column other_level VARCHAR: value that it is compared with
-- column rate_ratio DOUBLE: rate of level over rate of other_level
-- column ratio_low DOUBLE: 95 % interval
-- column ratio_high DOUBLE: 95 % interval
-- column p_value DOUBLE: of equal rates
-- column p_adjusted_fdr DOUBLE: Benjamini and Hochberg
-- column p_adjusted_holm DOUBLE: Holm
with
pairs as (
    select
        first.factor,
        first.level,
        second.level as other_level,
        first.expected_slip_count as x_1,
        second.expected_slip_count as x_2,
        first.corner_session_count as n_1,
        second.corner_session_count as n_2
    from slip_rates as first
    inner join slip_rates as second on second.factor = first.factor and second.level > first.level
    where first.factor <> 'all'
),
tested as (
    select
        *,
        clopper_pearson_low(x_1, x_1 + x_2) as share_low,
        clopper_pearson_high(x_1, x_1 + x_2) as share_high,
        least(
            2 * least(
                case when x_1 > 0 then beta_cdf(n_1 / (n_1 + n_2), x_1, x_2 + 1) else 1 end,
                case when x_2 > 0 then 1 - beta_cdf(n_1 / (n_1 + n_2), x_1 + 1, x_2) else 1 end
            ),
            1
        ) as p_value
    from pairs
),
listed as (
    select list(p_value order by factor, level, other_level) as p_values from tested
),
adjusted as (
    select adjusted_bh((select p_values from listed)) as fdr, adjusted_holm((select p_values from listed)) as holm
),
numbered as (
    select tested.*, row_number() over (order by factor, level, other_level) as place from tested
)
select
    factor,
    level,
    other_level,
    x_1 / n_1 / (x_2 / n_2) as rate_ratio,
    share_low / (1 - share_low) * n_2 / n_1 as ratio_low,
    case when share_high < 1 then share_high / (1 - share_high) * n_2 / n_1 end as ratio_high,
    p_value,
    fdr[place] as p_adjusted_fdr,
    holm[place] as p_adjusted_holm
from numbered
cross join adjusted
