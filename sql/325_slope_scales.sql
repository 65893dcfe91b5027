-- title: Robust scale of the residuals
-- grain: one row per chassis and response
-- source: own_scales, typical_scales
-- part: chassis
-- missing: none
-- Few moves tell little of a scale: its square is averaged with the typical square of all chassis (5 moves' worth).
-- column chassis VARCHAR: platform code
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column slope_out DOUBLE [deg/mm]: slope of the S-estimate, outboard
-- column slope_aft DOUBLE [deg/mm]: slope of the S-estimate, rearward
-- column own_scale_deg DOUBLE [deg]: S-estimate of scale of one move with weight 1
-- column typical_scale_deg DOUBLE [deg]: the same, typical of all chassis
-- column scale_deg DOUBLE [deg]: the one that the fit uses
-- column move_count BIGINT: moves
select
    own_scales.chassis,
    own_scales.response,
    own_scales.slope_out,
    own_scales.slope_aft,
    own_scales.scale_deg as own_scale_deg,
    typical_scales.scale_deg as typical_scale_deg,
    -- Instruments show hundredths: a scale below what rounding alone makes (0.01/sqrt(12), twice) would reject good readings.
    greatest(
        sqrt(
            (greatest(own_scales.move_count - 4, 0) * power(own_scales.scale_deg, 2) + 5 * power(typical_scales.scale_deg, 2))
            / (greatest(own_scales.move_count - 4, 0) + 5)
        ),
        0.01 / sqrt(6)
    ) as scale_deg,
    own_scales.move_count
from own_scales
inner join typical_scales using (response)
