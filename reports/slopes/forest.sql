-- Slopes side by side: two rows (own, shrunken) per chassis for camber, toe and SAI over out and caster over aft, with 95 %
-- intervals (own: t; shrunken: estimate +- 1.96 standard errors) and the geometric prior (mean +- 1.96 sd).
-- frame_*: what the plot shows; *_shown: cut at the frame; beyond_*: position of the arrow-head where an interval goes on.
with
ranked_chassis as (
    select chassis, row_number() over (order by max(move_count) desc, chassis) as chassis_rank
    from slopes
    group by chassis
),
panels as (
    select
        chassis_rank,
        slopes.*,
        case axis when 'out' then mean_out - 1.96 * sd_out else mean_aft - 1.96 * sd_aft end as prior_low_deg_per_mm,
        case axis when 'out' then mean_out + 1.96 * sd_out else mean_aft + 1.96 * sd_aft end as prior_high_deg_per_mm
    from slopes
    inner join ranked_chassis on ranked_chassis.chassis = slopes.chassis
    inner join angle_priors on angle_priors.response = slopes.response
    where chassis_rank <= 40
        and (slopes.response, slopes.axis)
            in (('camber_deg', 'out'), ('caster_deg', 'aft'), ('toe_deg', 'out'), ('sai_deg', 'out'))
),
both_kinds as (
    select
        *,
        'own' as kind,
        estimate_deg_per_mm as slope,
        conf_low_deg_per_mm as low,
        conf_high_deg_per_mm as high
    from panels
    union all
    select
        *,
        'shrunken' as kind,
        shrunk_deg_per_mm as slope,
        shrunk_deg_per_mm - 1.96 * shrunk_std_error_deg_per_mm as low,
        shrunk_deg_per_mm + 1.96 * shrunk_std_error_deg_per_mm as high
    from panels
),
extents as (
    select
        response,
        -- The prior of toe is wide (its sign is not known); the plot needs not show all of it.
        coalesce(
            min(
                least(
                    case when response <> 'toe_deg' then prior_low_deg_per_mm end,
                    case when kind = 'shrunken' then low end
                )
            ),
            min(prior_low_deg_per_mm)
        ) as low,
        coalesce(
            max(
                greatest(
                    case when response <> 'toe_deg' then prior_high_deg_per_mm end,
                    case when kind = 'shrunken' then high end
                )
            ),
            max(prior_high_deg_per_mm)
        ) as high
    from both_kinds
    group by response
),
frames as (
    select
        response,
        low - 0.25 * (high - low) as frame_low_deg_per_mm,
        high + 0.25 * (high - low) as frame_high_deg_per_mm
    from extents
)
select
    chassis_rank,
    chassis,
    both_kinds.response,
    axis,
    kind,
    slope as slope_deg_per_mm,
    low as low_deg_per_mm,
    high as high_deg_per_mm,
    case when slope between frame_low_deg_per_mm and frame_high_deg_per_mm then slope end as slope_shown,
    case when high > frame_low_deg_per_mm and low < frame_high_deg_per_mm
        then greatest(low, frame_low_deg_per_mm) end as low_shown,
    case when high > frame_low_deg_per_mm and low < frame_high_deg_per_mm
        then least(high, frame_high_deg_per_mm) end as high_shown,
    case when coalesce(low, slope) < frame_low_deg_per_mm then frame_low_deg_per_mm end as beyond_low,
    case when coalesce(high, slope) > frame_high_deg_per_mm then frame_high_deg_per_mm end as beyond_high,
    move_count,
    vehicle_count,
    prior_low_deg_per_mm,
    prior_high_deg_per_mm,
    frame_low_deg_per_mm,
    frame_high_deg_per_mm,
    replace(format('{:.3f}° ({:.3f} to {:.3f})', slope, low, high), '-', '−') as words
from both_kinds
inner join frames on frames.response = both_kinds.response
order by chassis_rank, both_kinds.response, kind
