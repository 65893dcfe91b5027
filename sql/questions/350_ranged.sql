-- Needed offset range and the share that each kit reaches: per chassis, target, kit, bolt position and hand, and one row (index
-- and hand NULL) over the best of them, both corners of a car taking plates of one pair. A chassis and target that no kit can be
-- judged for has one row without a kit. asked_*: NULL = all.
-- The interval is Wilson's with the number of independent corners, see slot_shares. used_count: corners that sit there now;
-- *_end_count: of those, pointer in the last tenth.
create or replace temp macro ranged(asked_chassis, asked_kit, asked_target) as table
with
slots as (
    select
        *,
        along(camber, slot) as camber_per_mm,
        along(caster, slot) as caster_per_mm,
        greatest(camber_per_mm, along(camber, side)) as most_camber_per_mm,
        greatest(caster_per_mm, along(caster, side)) as most_caster_per_mm
    from reach_slots(asked_chassis, asked_kit, asked_target, [as_it_is()])
),
kits as (
    select distinct chassis, target, kit, design from slots
),
fitted as (
    select
        present_corners.chassis,
        present_corners.kit,
        present_corners.plate_index,
        plate_hand = case corner when 'FL' then 'left' else 'right' end as own,
        (mark_1 - mark_min) / (mark_max - mark_min) as position
    from present_corners
    inner join plates
        on plates.kit = present_corners.kit
        and (plates.chassis = present_corners.chassis or plates.chassis is null)
    where mark_min < mark_max
    qualify row_number() over (partition by vehicle, corner order by plates.chassis nulls last) = 1
),
used as (
    select
        chassis,
        kit,
        plate_index,
        own,
        count(*) as used_count,
        count(*) filter (where position <= 0.1) as low_end_count,
        count(*) filter (where position >= 0.9) as high_end_count
    from fitted
    group by grouping sets ((chassis, kit), (chassis, kit, plate_index, own))
    having grouping(plate_index) = 1 or plate_index is not null
),
needs as (
    select
        chassis,
        target,
        max(columns('_count$')) as "\0",
        max(columns('_mm$|^rho$')) filter (where axis = 'out') as "need_out_\0",
        max(columns('_mm$|^rho$')) filter (where axis = 'aft') as "need_aft_\0",
        max(free_count_needed) as free_count_needed,
        max(missing) as missing
    from (
        select
            chassis, target, axis, corner_count, vehicle_count, censored_count, set_apart_count, mean_mm, sd_mm,
            low_mm, high_mm, free_low_mm, free_high_mm, std_error_mm, sd_noise_mm, rho, free_count_needed, missing
        from needed_spreads
    )
    where (asked_chassis is null or chassis = asked_chassis) and (asked_target is null or target = asked_target)
    group by chassis, target
)
select
    needs.chassis,
    kits.kit,
    needs.target,
    sized.plate_index,
    case when sized.own then 'own' when not sized.own then 'other' end as plate_hand,
    needs.corner_count,
    needs.vehicle_count,
    needs.censored_count,
    needs.set_apart_count,
    share as share_reachable,
    wilson_low(share * effective_count, effective_count) as conf_low,
    wilson_high(share * effective_count, effective_count) as conf_high,
    effective_count,
    columns('^need_out_'),
    columns('^need_aft_'),
    free_count_needed,
    pitch_mm as mark_pitch_mm,
    pitch_mm * camber_per_mm as mark_step_deg,
    pitch_mm * caster_per_mm as mark_step_caster_deg,
    nullif(least(
        coalesce(camber.tol / case when most_camber_per_mm > 0.02 then most_camber_per_mm end, 1e9),
        coalesce(caster.tol / case when most_caster_per_mm > 0.02 then most_caster_per_mm end, 1e9)
    ), 1e9) as mark_pitch_useful_mm,
    sized.half_length_mm,
    least[1][1] as half_length_90_mm,
    least[1][2] as half_length_90_low_mm,
    least[1][3] as half_length_90_high_mm,
    least[2][1] as half_length_95_mm,
    least[2][2] as half_length_95_low_mm,
    least[2][3] as half_length_95_high_mm,
    least[3][1] as half_length_99_mm,
    least[3][2] as half_length_99_low_mm,
    least[3][3] as half_length_99_high_mm,
    case when kits.kit is not null then coalesce(columns('^(used|low_end|high_end)_count$'), 0) end as "\0",
    case
        when kits.kit is null
        then concat_ws('; ', missing, 'no kit with ends of scale fits this chassis, or the target gives no tolerance')
        else missing
    end as reason
from needs
left join kits using (chassis, target)
left join slot_shares(asked_chassis, asked_kit, asked_target) as sized using (chassis, target, design)
left join used
    on used.chassis = needs.chassis
    and used.kit = kits.kit
    and used.plate_index is not distinct from sized.plate_index
    and used.own is not distinct from sized.own
left join slots
    on slots.chassis = needs.chassis
    and slots.target = needs.target
    and slots.kit = sized.design
    and slots.plate_index = sized.plate_index
    and slots.own = sized.own;
