-- The ways to clock the pair, best first: one row per way, corner and target. box_*: tolerance of the target, to the edge of the
-- picture (frame_*) for an angle that the target does not name.
with
subject as (
    select * from clocking_subject($vehicle::varchar, $chassis::varchar, $kit::varchar)
),
ways as (
    select *
    from clocked(
        (select coalesce(list(vehicle), []) from subject),
        (select chassis from subject where vehicle = ''),
        null,
        (
            select coalesce(list(target order by target_order), [])
            from usual_targets($target::varchar, $target_2::varchar)
        ),
        (select kit from subject),
        null::integer, null::varchar, 0.5::double, false
    )
),
framed as (
    select
        *,
        least(
            min(camber_min_deg) over (), min(present_camber_deg) over (),
            min(target_camber_deg - camber_tol_deg) over ()
        ) - 0.1 as frame_low_camber_deg,
        greatest(
            max(camber_max_deg) over (), max(present_camber_deg) over (),
            max(target_camber_deg + camber_tol_deg) over ()
        ) + 0.1 as frame_high_camber_deg,
        least(
            min(caster_min_deg) over (), min(present_caster_deg) over (),
            min(target_caster_deg - caster_tol_deg) over ()
        ) - 0.2 as frame_low_caster_deg,
        greatest(
            max(caster_max_deg) over (), max(present_caster_deg) over (),
            max(target_caster_deg + caster_tol_deg) over ()
        ) + 0.2 as frame_high_caster_deg
    from ways
)
select
    *,
    coalesce(target_camber_deg - camber_tol_deg, frame_low_camber_deg) as box_low_camber_deg,
    coalesce(target_camber_deg + camber_tol_deg, frame_high_camber_deg) as box_high_camber_deg,
    coalesce(target_caster_deg - caster_tol_deg, frame_low_caster_deg) as box_low_caster_deg,
    coalesce(target_caster_deg + caster_tol_deg, frame_high_caster_deg) as box_high_caster_deg
from framed
order by rank, target_order, corner
