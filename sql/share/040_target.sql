-- Numbered in the order of their angles, so that the numbers tell nothing of the names.
with
targets_whole as (
    select
        target,
        list_sort(list({
            'chassis': chassis,
            'goal_camber_deg': camber_deg,
            'camber_tol_deg': camber_tol_deg,
            'goal_caster_deg': caster_deg,
            'caster_tol_deg': caster_tol_deg,
            'goal_toe_deg': toe_deg,
            'cross_camber_deg': coalesce(cross_camber_deg, 0),
            'cross_caster_deg': coalesce(cross_caster_deg, 0)
        })) as chassis_targets
    from targets
    group by target
    -- Without camber and caster it needs no offset.
    having count(coalesce(camber_deg, caster_deg)) > 0
),
numbered as (
    select row_number() over (order by chassis_targets) as target, chassis_targets
    from (select distinct chassis_targets from targets_whole)
)
select
    target,
    unnest(chassis_targets, recursive := true)
from numbered
