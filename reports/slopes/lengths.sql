-- Effective lengths, 57.3 / |slope|, with the interval that the slope's own 95 % interval gives; no interval where that one
-- holds 0. *_shown: cut at 300 and 1100 mm; plausible are 400 to 900 mm (common practice, no source).
with
ranked_chassis as (
    select chassis, row_number() over (order by max(move_count) desc, chassis) as chassis_rank
    from slopes
    group by chassis
),
lengths as (
    select
        chassis_rank,
        slopes.chassis,
        response,
        axis,
        effective_length_mm,
        case
            when conf_low_deg_per_mm * conf_high_deg_per_mm > 0
                then degrees(1) / greatest(abs(conf_low_deg_per_mm), abs(conf_high_deg_per_mm))
        end as low_mm,
        case
            when conf_low_deg_per_mm * conf_high_deg_per_mm > 0
                then degrees(1) / least(abs(conf_low_deg_per_mm), abs(conf_high_deg_per_mm))
        end as high_mm,
        flag
    from slopes
    inner join ranked_chassis on ranked_chassis.chassis = slopes.chassis
    where chassis_rank <= 40 and (response, axis) in (('camber_deg', 'out'), ('caster_deg', 'aft'))
)
select
    chassis_rank,
    chassis,
    response,
    axis,
    effective_length_mm,
    low_mm,
    high_mm,
    case when effective_length_mm between 300 and 1100 then effective_length_mm end as length_shown,
    case when high_mm > 300 and low_mm < 1100 then greatest(low_mm, 300) end as low_shown,
    case when high_mm > 300 and low_mm < 1100 then least(high_mm, 1100) end as high_shown,
    case when coalesce(low_mm, effective_length_mm) < 300 then 300 end as beyond_low,
    case when coalesce(high_mm, effective_length_mm) > 1100 then 1100 end as beyond_high,
    400 as plausible_low_mm,
    900 as plausible_high_mm,
    flag
from lengths
order by chassis_rank, response
