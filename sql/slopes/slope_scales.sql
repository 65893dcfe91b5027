-- title: Robust scale of the residuals
-- grain: one row per chassis and response
-- source: own_scales, slope_priors
-- missing: none
-- Few moves tell little of a scale: its square is averaged with the typical square of all chassis (5 moves' worth). Where gauges are
-- uneven, the scale of one chassis tells little of another's: with h2 the variance of log scales between chassis, the others are worth
-- 1.1 / h2 moves, for the log of an S-estimate of n moves has variance 1.1 / (n - 2), by simulation of normal errors, n = 4..48. h2 is a
-- mean of squares less that, averaged with 1.1 / 5 at the weight of 10 chassis.
-- column chassis VARCHAR: platform code
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column slope_out DOUBLE [deg/mm]: slope of the S-estimate, outboard
-- column slope_aft DOUBLE [deg/mm]: slope of the S-estimate, rearward
-- column own_scale_deg DOUBLE [deg]: S-estimate of scale of one move with weight 1
-- column typical_scale_deg DOUBLE [deg]: the same, median over chassis with more than 8 moves, or sqrt(2) times the prior noise of a reading; as far as gauges are uneven, weighted geometric mean of all
-- column typical_worth DOUBLE: moves that the typical scale is worth, at most 5
-- column scale_deg DOUBLE [deg]: the one that the fit uses
-- column move_count BIGINT: moves, less the constants of changes of kit
with
median_scales as (
    select
        priors.response,
        coalesce(
            median(own_scales.scale_deg) filter (where own_scales.move_count > 8),
            any_value(priors.noise_sd_deg) * sqrt(2)
        ) as scale_deg
    from (select distinct response, noise_sd_deg from slope_priors) as priors
    left join own_scales using (response)
    group by priors.response
),
logs as (
    select
        response,
        -- Instruments show hundredths, see below.
        ln(greatest(own_scales.scale_deg, 0.01 / sqrt(6))) as log_scale,
        -- One odd chassis counts as off by a factor of 7.4.
        least(power(log_scale - ln(greatest(median_scales.scale_deg, 0.01 / sqrt(6))), 2), 4) as square,
        1.1 / (move_count - 2) as sampling_var
    from own_scales
    inner join median_scales using (response)
    where move_count >= 4
),
unevenness as (
    select response, greatest((10 * 1.1 / 5 + exact_sum(square - sampling_var)) / (10 + count(*)), 1.1 / 5)
        as between_var
    from logs
    group by response
),
mean_logs as (
    select response, exact_sum(log_scale / (sampling_var + between_var)) / exact_sum(1 / (sampling_var + between_var))
        as log_scale
    from logs
    inner join unevenness using (response)
    group by response
),
typical_scales as (
    select
        response,
        coalesce(1.1 / between_var, 5) as worth,
        exp(worth / 5 * ln(scale_deg) + (1 - worth / 5) * coalesce(log_scale, 0)) as scale_deg
    from median_scales
    left join unevenness using (response)
    left join mean_logs using (response)
),
weighed as (
    select
        own_scales.*,
        typical_scales.scale_deg as typical_scale_deg,
        worth as typical_worth,
        greatest(move_count - 2 - 2 * worth / 5, 0) as own_worth
    from own_scales
    inner join typical_scales using (response)
)
select
    chassis,
    response,
    slope_out,
    slope_aft,
    scale_deg as own_scale_deg,
    typical_scale_deg,
    typical_worth,
    -- Instruments show hundredths: a scale below what rounding alone makes (0.01/sqrt(12), twice) would reject good
    -- readings.
    greatest(
        sqrt(
            (own_worth * power(weighed.scale_deg, 2) + typical_worth * power(typical_scale_deg, 2))
                / (own_worth + typical_worth)
        ),
        0.01 / sqrt(6)
    ) as scale_deg,
    move_count
from weighed
