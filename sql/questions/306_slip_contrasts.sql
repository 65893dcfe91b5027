-- Do plates slip more often here than there: one row per factor of slip_rates and pair of its levels. rate_ratio: expected slips per corner
-- session, exact by the conditional binomial (given the sum of both, the first is binomial with probability n1 r / (n1 r + n2)), ratio_high
-- NULL where it has no end; p_value of ratio 1, twice the smaller tail. Slips and sessions of each level are those of independent sessions,
-- divided by its design effect. p_adjusted_* for the number of pairs of all factors: false discovery rate (Benjamini and Hochberg) and
-- family-wise (Holm); two levels that are the same corner sessions as two of another factor are one pair.
create or replace temp macro slip_contrasts() as table
with
-- Levels of one factor are never the same sessions, whatever their counts.
numbered_levels as (
    select
        *,
        row_number() over (
            partition by factor, corner_session_count, slip_count, unclear_count, expected_slip_count,
                corner_km order by level
        ) as alike
    from slip_rates
    where factor <> 'all'
),
levels as (
    select
        factor,
        level,
        expected_slip_count / coalesce(design_effect, 1) as x,
        corner_session_count / coalesce(design_effect, 1) as n,
        expected_slip_count / corner_session_count as rate,
        min(factor || ' ' || level) over (
            partition by corner_session_count, slip_count, unclear_count, expected_slip_count, corner_km, alike
        ) as sessions
    from numbered_levels
),
pairs as (
    select
        first.factor,
        first.level,
        second.level as other_level,
        first.rate / second.rate as rate_ratio,
        first.x as x_1,
        second.x as x_2,
        first.n as n_1,
        second.n as n_2,
        least(first.sessions, second.sessions) as some_sessions,
        greatest(first.sessions, second.sessions) as other_sessions
    from levels as first
    inner join levels as second on second.factor = first.factor and second.level > first.level
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
-- Twins tell the same p value but for its last digits.
once as (
    select some_sessions, other_sessions, min(p_value) as p_value
    from tested
    group by some_sessions, other_sessions
),
listed as (
    select list(p_value order by some_sessions, other_sessions) as p_values from once
),
adjusted as (
    select adjusted_bh((select p_values from listed)) as fdr, adjusted_holm((select p_values from listed)) as holm
),
numbered as (
    select some_sessions, other_sessions, row_number() over (order by some_sessions, other_sessions) as place from once
)
select
    factor,
    level,
    other_level,
    rate_ratio,
    share_low / (1 - share_low) * n_2 / n_1 as ratio_low,
    case when share_high < 1 then share_high / (1 - share_high) * n_2 / n_1 end as ratio_high,
    p_value,
    fdr[place] as p_adjusted_fdr,
    holm[place] as p_adjusted_holm
from tested
inner join numbered using (some_sessions, other_sessions)
cross join adjusted;
