-- States of both fronts of the cars of the page, in time order, the newest 40 of each corner. is_present: the newest of its corner.
with
cars as (
    select vehicle from page_cars($vehicle::varchar, 24)
),
ranked as (
    select
        *,
        row_number() over (
            partition by vehicle, corner order by ordered_ts desc nulls last, visit desc, phase_order desc
        ) as age
    from states
    semi join cars using (vehicle)
    where corner in ('FL', 'FR')
)
select
    vehicle,
    corner,
    visit,
    visit_kind,
    phase,
    strftime(measured_ts, '%Y-%m-%d') as day,
    age,
    kit,
    plate_hand,
    plate_index,
    mark_1,
    mark_2,
    offset_out_mm,
    offset_aft_mm,
    camber_deg,
    caster_deg,
    toe_deg,
    target,
    phase = 'after' and visit_kind in ('install', 'adjust') as is_set
from ranked
where age <= 40
order by vehicle, corner, age desc
