-- title: Whether a setting could have met its target
-- grain: one row per after of an install or adjust visit of a front corner with a kit, a known offset and a judged camber or caster
-- source: settings, chassis_targets, plates, front_slopes
-- missing: reach is NULL where the kit gives no ends of its scale
-- From the readings left behind, as read, with the slopes of the chassis: is there a place of the pointers where every judged angle
-- of the corner is within tolerance, in the bolt position and hand as they are, in another index of the kit, or in none.
-- column chassis VARCHAR: platform code
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR
-- column visit VARCHAR: visit
-- column reach VARCHAR: as clocked; another index (or the other hand); no index
with
numbered as (
    select *, row_number() over (order by kit, chassis) as plate
    from plates
),
-- Per bolt position and hand: the middle of the first scale, its direction, and half of the second scale as a vector.
slots as (
    select
        plate,
        plate_index,
        own,
        plate_offset(
            (mark_min + mark_max) / 2, (mark2_min + mark2_max) / 2, pitch_mm, axis_deg, centre_out_mm, centre_aft_mm,
            turn_deg, not own
        ) as middle,
        slot_direction(axis_deg, turn_deg, own) as slot,
        {
            'out': side_direction(axis_deg, turn_deg, own).out * pitch_mm * (mark2_max - mark2_min) / 2,
            'aft': side_direction(axis_deg, turn_deg, own).aft * pitch_mm * (mark2_max - mark2_min) / 2
        } as side,
        pitch_mm * (mark_max - mark_min) / 2 + 1e-9 as most_mm
    from (
        select numbered.*, indices.plate_index, own, (indices.plate_index - 1) * index_step_deg as turn_deg
        from numbered
        cross join (select unnest(range(1, 13)) as plate_index) as indices
        cross join (select unnest([true, false]) as own)
        where indices.plate_index <= index_count
    )
),
fitting as (
    select every_chassis.chassis, numbered.kit, plate, front_slopes.* exclude (chassis)
    from (select distinct chassis from settings) as every_chassis
    inner join front_slopes on front_slopes.chassis = every_chassis.chassis
    inner join numbered on numbered.chassis = every_chassis.chassis or numbered.chassis is null
    qualify row_number() over (
        partition by every_chassis.chassis, numbered.kit order by numbered.chassis nulls last
    ) = 1
),
aimed as (
    select
        settings.chassis,
        vehicle,
        corner,
        visit,
        plate,
        plate_index,
        plate_hand = case corner when 'FL' then 'left' else 'right' end as own,
        {
            'slope_out': camber_out, 'slope_aft': camber_aft,
            'tol': case when camber_deg is not null and goal_camber_deg is not null then camber_tol_deg end
        } as camber,
        {
            'slope_out': caster_out, 'slope_aft': caster_aft,
            'tol': case when caster_deg is not null and goal_caster_deg is not null then caster_tol_deg end
        } as caster,
        case when camber_tol_deg is not null
            then -round(camber_deg - side_goal(corner, goal_camber_deg, cross_camber_deg), 6) end as camber_short,
        case when caster_tol_deg is not null
            then -round(caster_deg - side_goal(corner, goal_caster_deg, cross_caster_deg), 6) end as caster_short,
        offset_out_mm,
        offset_aft_mm
    from settings
    inner join chassis_targets
        on chassis_targets.chassis = settings.chassis and chassis_targets.target = settings.target
    inner join fitting on fitting.chassis = settings.chassis and fitting.kit = settings.kit
    where offset_out_mm is not null
        and (
            camber_deg - goal_camber_deg + camber_tol_deg is not null
            or caster_deg - goal_caster_deg + caster_tol_deg is not null
        )
),
moved as (
    select *, needed_move(camber, caster, camber_short, caster_short) as move
    from aimed
),
needed as (
    select *, {'out': offset_out_mm + move.out, 'aft': offset_aft_mm + move.aft} as need
    from moved
),
-- Whether each slot of the kit reaches it, the one as clocked among them.
tried as (
    select
        *,
        required_half_length(need, {'out': middle.out_mm, 'aft': middle.aft_mm}, normals) <= most_mm as reached
    from (
        select
            needed.*,
            middle,
            most_mm,
            coalesce(slots.plate_index = needed.plate_index and slots.own = needed.own, false) as as_clocked,
            slot_normals(slot, side, camber, caster) as normals
        from needed
        left join slots using (plate)
    )
)
select
    chassis,
    vehicle,
    corner,
    visit,
    case
        when bool_or(as_clocked and reached) then 'as clocked'
        when bool_or(reached) then 'another index'
        when not bool_or(reached) then 'no index'
    end as reach
from tried
group by chassis, vehicle, corner, visit
