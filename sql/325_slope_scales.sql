-- title: Robust scale of the residuals
-- grain: one row per chassis and response
-- source: own_scales, slope_priors
-- missing: none
-- Few moves tell little of a scale: its square is averaged with the typical square of all chassis (5 moves' worth).
-- column chassis VARCHAR: platform code
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column slope_out DOUBLE [deg/mm]: slope of the S-estimate, outboard
-- column slope_aft DOUBLE [deg/mm]: slope of the S-estimate, rearward
-- column own_scale_deg DOUBLE [deg]: S-estimate of scale of one move with weight 1
-- column typical_scale_deg DOUBLE [deg]: the same, median over chassis with more than 8 moves, or sqrt(2) times the prior noise of a reading
-- column scale_deg DOUBLE [deg]: the one that the fit uses
-- column move_count BIGINT: moves
with
typical_scales as (
    select
        priors.response,
        coalesce(
            median(own_scales.scale_deg) filter (where own_scales.move_count > 8),
            any_value(priors.noise_sd_deg) * sqrt(2)
        ) as scale_deg
    from (select distinct response, noise_sd_deg from slope_priors) as priors
    left join own_scales using (response)
    group by priors.response
)
select
    own_scales.chassis,
    own_scales.response,
    own_scales.slope_out,
    own_scales.slope_aft,
    own_scales.scale_deg as own_scale_deg,
    typical_scales.scale_deg as typical_scale_deg,
    -- Instruments show hundredths: a scale below what rounding alone makes (0.01/sqrt(12), twice) would reject good
    -- readings.
    greatest(
        sqrt(
            (
                greatest(own_scales.move_count - 4, 0) * power(own_scales.scale_deg, 2)
                + 5 * power(typical_scales.scale_deg, 2)
            )
            / (greatest(own_scales.move_count - 4, 0) + 5)
        ),
        0.01 / sqrt(6)
    ) as scale_deg,
    own_scales.move_count
from own_scales
inner join typical_scales using (response)
