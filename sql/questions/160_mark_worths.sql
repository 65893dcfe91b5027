-- What one mark further is worth: one row per chassis, kit that fits it, bolt position, hand and scale. hand: own = each side has the
-- plate of its own hand. *_deg: expected change of the angle for one mark up, tie rods untouched, with the 95 % interval of the chassis'
-- slopes. asked_chassis: only this one, or NULL.
create or replace temp macro mark_worths(asked_chassis) as table
with
fitting as (
    select
        every_chassis.chassis,
        plates.kit,
        plates.index_count,
        plates.index_step_deg,
        plates.axis_deg,
        plates.pitch_mm,
        plates.two_scales
    from (
        select distinct chassis from sensitivities
        where chassis is not null and (asked_chassis is null or chassis = asked_chassis)
    ) as every_chassis
    inner join plates on plates.chassis = every_chassis.chassis or plates.chassis is null
    where plates.pitch_mm is not null
    qualify row_number() over (partition by every_chassis.chassis, plates.kit order by plates.chassis nulls last) = 1
),
turned as (
    select
        fitting.*,
        plate_index,
        hand,
        scale,
        case scale
            when 1 then slot_direction(axis_deg, (plate_index - 1) * index_step_deg, hand = 'own')
            else side_direction(axis_deg, (plate_index - 1) * index_step_deg, hand = 'own')
        end as direction
    from fitting
    cross join (select unnest(range(1, 13)) as plate_index) as indices
    cross join (select unnest(['own', 'other']) as hand) as hands
    cross join (select unnest([1, 2]) as scale) as scales
    where plate_index <= index_count and (scale = 1 or two_scales)
),
changed as (
    select
        turned.*,
        response,
        slope_change(sensitivities, pitch_mm * direction.out, pitch_mm * direction.aft) as change_deg,
        z_975() * sqrt(
            slope_change_var(sensitivities, pitch_mm * direction.out, pitch_mm * direction.aft)
        ) as half_deg,
        basis
    from turned
    inner join sensitivities on sensitivities.chassis = turned.chassis
)
select
    chassis,
    kit,
    cast(plate_index as integer) as plate_index,
    hand,
    scale,
    round(any_value(pitch_mm * direction.out), 6) as out_mm,
    round(any_value(pitch_mm * direction.aft), 6) as aft_mm,
    max(change_deg) filter (where response = 'camber_deg') as camber_deg,
    max(change_deg - half_deg) filter (where response = 'camber_deg') as camber_low_deg,
    max(change_deg + half_deg) filter (where response = 'camber_deg') as camber_high_deg,
    max(change_deg) filter (where response = 'caster_deg') as caster_deg,
    max(change_deg - half_deg) filter (where response = 'caster_deg') as caster_low_deg,
    max(change_deg + half_deg) filter (where response = 'caster_deg') as caster_high_deg,
    max(change_deg) filter (where response = 'toe_deg' and basis = 'own') as toe_deg,
    max(change_deg - half_deg) filter (where response = 'toe_deg' and basis = 'own') as toe_low_deg,
    max(change_deg + half_deg) filter (where response = 'toe_deg' and basis = 'own') as toe_high_deg
from changed
group by chassis, kit, plate_index, hand, scale;
