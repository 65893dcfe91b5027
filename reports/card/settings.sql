-- What each car of the page is told: one row per car, target and front corner. box_*: tolerance of the target, to the edge of the
-- picture (frame_*) for an angle that the target does not name.
with
cars as (
    select vehicle, car_count from card_cars($vehicle::varchar, 40)
),
advice as (
    select *
    from advised(
        (select coalesce(list(vehicle), []) from cars),
        null,
        (
            select coalesce(list(target order by target_order), [])
            from usual_targets($target::varchar, $target_2::varchar)
        ),
        null::varchar, null::integer, null::varchar, 0.5::double, false,
        {'diameter_mm': null::double, 'arm_mm': $arm_mm::double, 'turn_mm': $turn_mm::double}
    )
),
boxed as (
    select
        *,
        target_camber_deg - camber_tol_deg as camber_from_deg,
        target_camber_deg + camber_tol_deg as camber_to_deg,
        target_caster_deg - caster_tol_deg as caster_from_deg,
        target_caster_deg + caster_tol_deg as caster_to_deg
    from advice
),
framed as (
    select
        *,
        least(
            min(camber_low_deg) over corners, min(present_camber_deg) over corners, min(camber_from_deg) over corners
        ) - 0.1 as frame_low_camber_deg,
        greatest(
            max(camber_high_deg) over corners, max(present_camber_deg) over corners, max(camber_to_deg) over corners
        ) + 0.1 as frame_high_camber_deg,
        least(
            min(caster_low_deg) over corners, min(present_caster_deg) over corners, min(caster_from_deg) over corners
        ) - 0.2 as frame_low_caster_deg,
        greatest(
            max(caster_high_deg) over corners, max(present_caster_deg) over corners, max(caster_to_deg) over corners
        ) + 0.2 as frame_high_caster_deg
    from boxed
    window corners as (partition by vehicle)
)
select
    framed.*,
    coalesce(camber_from_deg, frame_low_camber_deg) as box_low_camber_deg,
    coalesce(camber_to_deg, frame_high_camber_deg) as box_high_camber_deg,
    coalesce(caster_from_deg, frame_low_caster_deg) as box_low_caster_deg,
    coalesce(caster_to_deg, frame_high_caster_deg) as box_high_caster_deg,
    strftime(measured_ts, '%Y-%m-%d') as read_on,
    coalesce(
        (
            select cast(least(round(360 / index_step_deg), 12) as integer)
            from plates
            where plates.kit = framed.kit and index_step_deg > 0
                and (plates.chassis = framed.chassis or plates.chassis is null)
            order by plates.chassis nulls last
            limit 1
        ),
        3
    ) as bolt_count,
    car_count
from framed
inner join cars using (vehicle)
inner join present_corners using (vehicle, corner)
order by
    max(measured_ts) over (partition by framed.vehicle) desc nulls last, framed.vehicle, target_order, framed.corner
