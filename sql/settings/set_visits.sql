-- title: Visits that set a car to a target
-- grain: one row per install or adjust visit with a setting that is judged
-- source: settings, target_settings, readings, changes
-- missing: came_back_* are NULL where no such visit comes after it for the same target or none named, however late; moved is NULL where
-- nobody read the car on arrival, or it was changed in between
-- column chassis VARCHAR: platform code
-- column vehicle VARCHAR: one car
-- column visit VARCHAR: visit
-- column visit_kind VARCHAR: install adjust
-- column measured_ts TIMESTAMP: first reading that was judged, local wall time
-- column ordered_ts TIMESTAMP: of the first reading left behind, for the order of the car's states, see states
-- column target VARCHAR: what it was set to
-- column kit VARCHAR: NULL = original mount; several = the corners differ
-- column gauge VARCHAR: measuring equipment; NULL = not named; several = the corners differ
-- column technician VARCHAR: who measured; NULL = not named; several = the corners differ
-- column usual_verdict VARCHAR: inside where all angles are, outside where one is, else undecided; guard band of 1.65 standard uncertainties
-- column hit BOOLEAN: every angle inside its tolerance as read
-- column end_of_scale BOOLEAN: missed, and every miss comes from travel that ran out
-- column came_back_visit VARCHAR: the car's next install or adjust visit
-- column came_back_ts TIMESTAMP: when that one began, local wall time
-- column moved BOOLEAN: its first readings differ from those left behind by more than their noise allows (two-sided, 5 % shared by the angles)
-- column came_from_ts TIMESTAMP: last visit to which this one is a came_back_visit, local wall time
-- column began_ts TIMESTAMP: when this one began, local wall time; NULL where came_from_ts is
-- column read_until_ts TIMESTAMP: the newest reading of all, local wall time
with
judged as (
    select
        vehicle,
        visit,
        min(chassis) as chassis,
        min(visit_kind) as visit_kind,
        min(measured_ts) as measured_ts,
        min(target) as target,
        case when min(coalesce(kit, '')) = max(coalesce(kit, '')) then min(kit) else 'several' end as kit,
        case when min(coalesce(gauge, '')) = max(coalesce(gauge, '')) then min(gauge) else 'several' end as gauge,
        case when min(coalesce(technician, '')) = max(coalesce(technician, '')) then min(technician)
            else 'several' end as technician,
        case
            when bool_or(conformity(true_error_deg, tol_deg, u_deg, 1.65) = 'outside') then 'outside'
            when bool_and(conformity(true_error_deg, tol_deg, u_deg, 1.65) = 'inside') then 'inside'
            else 'undecided'
        end as usual_verdict,
        bool_and(is_hit(error_deg, tol_deg)) as hit,
        not bool_and(is_hit(error_deg, tol_deg))
            and bool_and(is_hit(error_deg, tol_deg) or end_of_scale) as end_of_scale
    from target_settings
    where not_judged is null
    group by vehicle, visit
),
settings_made as (
    select
        vehicle,
        visit,
        min(least(measured_ts, found_ts)) as began_ts,
        min(least(ordered_ts, found_ordered_ts)) as began_ordered_ts,
        min(ordered_ts) as ordered_ts,
        min(target) as target
    from settings
    group by vehicle, visit
),
-- Of two that begin at one moment the first by name.
begun as (
    select
        vehicle,
        began_ordered_ts,
        min(visit) as came_back_visit,
        arg_min_null(began_ts, visit) as came_back_ts,
        arg_min_null(target, visit) as came_back_target
    from settings_made
    group by vehicle, began_ordered_ts
),
following as (
    select
        judged.vehicle,
        judged.visit,
        judged.measured_ts,
        came_back_visit,
        came_back_ts
    from (select judged.*, ordered_ts from judged inner join settings_made using (vehicle, visit)) as judged
    asof join begun on begun.vehicle = judged.vehicle and judged.ordered_ts < begun.began_ordered_ts
    -- Back to the other setting is another job.
    where coalesce(came_back_target, judged.target) = judged.target
),
compared as (
    select
        following.vehicle,
        following.visit,
        greatest(
            moved_deviate(
                again.found_camber_deg - left_behind.camber_deg,
                again.found_camber_bias_deg - left_behind.camber_bias_deg,
                again.found_camber_u_deg, left_behind.camber_u_deg, again.found_camber_apart_u_deg,
                left_behind.camber_apart_u_deg, again.found_gauge, left_behind.gauge, again.found_technician,
                left_behind.technician
            ),
            moved_deviate(
                again.found_caster_deg - left_behind.caster_deg,
                again.found_caster_bias_deg - left_behind.caster_bias_deg,
                again.found_caster_u_deg, left_behind.caster_u_deg, again.found_caster_apart_u_deg,
                left_behind.caster_apart_u_deg, again.found_gauge, left_behind.gauge, again.found_technician,
                left_behind.technician
            ),
            moved_deviate(
                again.found_toe_deg - left_behind.toe_deg,
                again.found_toe_bias_deg - left_behind.toe_bias_deg,
                again.found_toe_u_deg, left_behind.toe_u_deg, again.found_toe_apart_u_deg,
                left_behind.toe_apart_u_deg, again.found_gauge, left_behind.gauge, again.found_technician,
                left_behind.technician
            )
        ) as deviate,
        cast(again.found_camber_deg - left_behind.camber_deg is not null as integer)
            + cast(again.found_caster_deg - left_behind.caster_deg is not null as integer)
            + cast(again.found_toe_deg - left_behind.toe_deg is not null as integer) as angle_count
    from following
    inner join settings as left_behind on left_behind.vehicle = following.vehicle
        and left_behind.visit = following.visit
    inner join settings as again
        on again.vehicle = following.vehicle
        and again.visit = following.came_back_visit
        and again.corner = left_behind.corner
    -- What was left before a change says nothing of what was found after it.
    anti join (select vehicle, corner, wall_time(changed_at) as changed_ts from changes) as changed
        on changed.vehicle = following.vehicle
        and coalesce(changed.corner, left_behind.corner) = left_behind.corner
        and changed.changed_ts between left_behind.measured_ts and again.measured_ts
),
limits as (
    select angle_count, normal_quantile(1 - 0.025 / angle_count) as limit_deviate
    from (select unnest(range(1, 7)) as angle_count)
),
moved_since as (
    select vehicle, visit, deviate > limit_deviate as moved
    from (
        select vehicle, visit, max(deviate) as deviate, sum(angle_count) as angle_count
        from compared
        group by vehicle, visit
    )
    inner join limits using (angle_count)
),
came_from as (
    select vehicle, came_back_visit as visit, max(measured_ts) as came_from_ts, min(came_back_ts) as began_ts
    from following
    group by vehicle, came_back_visit
)
select
    chassis,
    vehicle,
    visit,
    visit_kind,
    judged.measured_ts,
    ordered_ts,
    judged.target,
    kit,
    gauge,
    technician,
    usual_verdict,
    hit,
    end_of_scale,
    came_back_visit,
    came_back_ts,
    moved,
    came_from_ts,
    began_ts,
    (select max(wall_time(measured_at)) from readings) as read_until_ts
from judged
left join (select vehicle, visit, ordered_ts from settings_made) as settings_made using (vehicle, visit)
left join following using (vehicle, visit)
left join moved_since using (vehicle, visit)
left join came_from using (vehicle, visit)
