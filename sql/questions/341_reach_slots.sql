-- The slots of each kit on each chassis and target: one row per chassis, target, kit, variant, index and hand. own: the plate of the
-- corner's own side. asked_*: NULL = all. design: the first kit whose plate is the same there in all that reach asks of it.
-- variants: list of what to change, each a struct of name and value (to tell them apart), need_out and need_aft (shift of all needs,
-- in standard errors that the slopes bring), centre_out_mm and centre_aft_mm (shift of the plate's centre at index 1) and turn_deg
-- (turn of its slot).
create or replace temp macro reach_slots(asked_chassis, asked_kit, asked_target, variants) as table
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
wanted as (
    select
        chassis_targets.chassis,
        chassis_targets.target,
        {
            'slope_out': camber.slope_out, 'slope_aft': camber.slope_aft,
            'tol': case when goal_camber_deg is not null then camber_tol_deg end
        }
            as camber,
        {
            'slope_out': caster.slope_out, 'slope_aft': caster.slope_aft,
            'tol': case when goal_caster_deg is not null then caster_tol_deg end
        }
            as caster
    from chassis_targets
    inner join slopes_of on slopes_of.chassis = chassis_targets.chassis
    where (asked_chassis is null or chassis_targets.chassis = asked_chassis)
        and (asked_target is null or chassis_targets.target = asked_target)
        and coalesce(
            case when goal_camber_deg is not null then camber_tol_deg end,
            case when goal_caster_deg is not null then caster_tol_deg end
        ) is not null
),
fitting as (
    select
        wanted.*,
        plates.* exclude (chassis),
        min(plates.kit) over (
            partition by
                wanted.chassis, wanted.target, index_count, index_step_deg, axis_deg, pitch_mm, mark_min, mark_max,
                mark2_min, mark2_max,
                centre_out_mm, centre_aft_mm
        ) as design
    from wanted
    inner join plates on plates.chassis = wanted.chassis or plates.chassis is null
    where (asked_kit is null or plates.kit = asked_kit) and mark_min < mark_max
    qualify row_number() over (
        partition by wanted.chassis, wanted.target, plates.kit order by plates.chassis nulls last
    ) = 1
),
varied as (
    select
        fitting.* replace (
            axis_deg + variant.turn_deg as axis_deg,
            centre_out_mm + variant.centre_out_mm as centre_out_mm,
            centre_aft_mm + variant.centre_aft_mm as centre_aft_mm
        ),
        unnest(range(1, index_count + 1)) as plate_index
    from (select *, unnest(variants) as variant, generate_subscripts(variants, 1) as place from fitting) as fitting
),
clocked as (
    select *, (plate_index - 1) * index_step_deg as turn_deg, unnest([true, false]) as own
    from varied
),
slots as (
    select
        *,
        plate_offset(
            (mark_min + mark_max) / 2, (mark2_min + mark2_max) / 2, pitch_mm, axis_deg, centre_out_mm, centre_aft_mm,
            turn_deg, not own
        ) as middle,
        slot_direction(axis_deg, turn_deg, own) as slot,
        side_direction(axis_deg, turn_deg, own) as across,
        pitch_mm * (mark2_max - mark2_min) / 2 as side_mm,
        pitch_mm * (mark_max - mark_min) / 2 as half_length_mm
    from clocked
),
sided as (
    select * exclude (across, side_mm), {'out': across.out * side_mm, 'aft': across.aft * side_mm} as side from slots
)
select *, slot_normals(slot, side, camber, caster) as normals
from sided;
