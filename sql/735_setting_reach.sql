-- title: Whether a setting could have met its target
-- grain: one row per after of an install or adjust visit of a front corner with a kit, a known offset and a judged camber or caster
-- source: target_settings, states, plates, sensitivities
-- missing: reach is NULL where the kit gives no ends of its scale
-- From the readings left behind, as read, with the slopes of the chassis: is there a place of the pointers where every judged angle
-- of the corner is within tolerance, in the bolt position and hand as they are, in another index of the kit, or in none.
-- column chassis VARCHAR: platform code
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR
-- column visit VARCHAR: visit
-- column reach VARCHAR: as clocked; another index (or the other hand); no index
with
slopes_of as (
    select
        chassis,
        any_value({'slope_out': slope_out, 'slope_aft': slope_aft}) filter (where response = 'camber_deg') as camber,
        any_value({'slope_out': slope_out, 'slope_aft': slope_aft}) filter (where response = 'caster_deg') as caster
    from sensitivities
    where chassis is not null
    group by chassis
),
judged as (
    select
        chassis,
        vehicle,
        corner,
        visit,
        any_value({'error': error_deg, 'tol': tol_deg}) filter (where response = 'camber_deg') as camber_setting,
        any_value({'error': error_deg, 'tol': tol_deg}) filter (where response = 'caster_deg') as caster_setting
    from target_settings
    where not_judged is null and response in ('camber_deg', 'caster_deg')
    group by chassis, vehicle, corner, visit
),
needed as (
    select
        judged.chassis,
        judged.vehicle,
        judged.corner,
        judged.visit,
        kit,
        plate_index as present_index,
        plate_hand = case corner when 'FL' then 'left' else 'right' end as present_own,
        offset_out_mm,
        offset_aft_mm,
        needed_move(camber, caster, -camber_setting.error, -caster_setting.error) as move,
        {'slope_out': camber.slope_out, 'slope_aft': camber.slope_aft, 'tol': camber_setting.tol} as camber,
        {'slope_out': caster.slope_out, 'slope_aft': caster.slope_aft, 'tol': caster_setting.tol} as caster
    from judged
    inner join states using (vehicle, corner, visit)
    inner join slopes_of on slopes_of.chassis = judged.chassis
    where phase = 'after' and offset_out_mm is not null and kit is not null
),
plated as (
    select needed.*, plates.* exclude (kit, chassis)
    from needed
    inner join plates on plates.kit = needed.kit and (plates.chassis = needed.chassis or plates.chassis is null)
    qualify row_number() over (partition by vehicle, corner, visit order by plates.chassis nulls last) = 1
),
clocked as (
    select
        plated.*,
        indices.plate_index,
        own,
        (indices.plate_index - 1) * index_step_deg as turn_deg
    from plated
    cross join (select unnest(range(1, 13)) as plate_index) as indices
    cross join (select unnest([true, false]) as own)
    where indices.plate_index <= index_count
),
slots as (
    select
        *,
        plate_offset(
            (mark_min + mark_max) / 2, (mark2_min + mark2_max) / 2, pitch_mm, axis_deg, centre_out_mm, centre_aft_mm, turn_deg, not own
        ) as middle,
        side_direction(axis_deg, turn_deg, own) as side
    from clocked
),
asked as (
    select
        *,
        required_half_length(
            {'out': offset_out_mm + move.out, 'aft': offset_aft_mm + move.aft},
            {'out': middle.out_mm, 'aft': middle.aft_mm},
            slot_direction(axis_deg, turn_deg, own),
            {'out': side.out * pitch_mm * (mark2_max - mark2_min) / 2, 'aft': side.aft * pitch_mm * (mark2_max - mark2_min) / 2},
            camber, caster
        ) <= pitch_mm * (mark_max - mark_min) / 2 + 1e-9 as reached
    from slots
)
select
    chassis,
    vehicle,
    corner,
    visit,
    case
        when bool_or(reached and plate_index is not distinct from present_index and own = present_own) then 'as clocked'
        when bool_or(reached) then 'another index'
        when bool_or(not reached) then 'no index'
    end as reach
from asked
group by chassis, vehicle, corner, visit
