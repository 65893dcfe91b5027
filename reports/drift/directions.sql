-- Which way a slip of the present plate moves (camber, caster) on the twelve cars with most that moved, as a line of -6 to 6 mm: one row
-- per end; two scales have two lines.
with
drawn as (
    select vehicle
    from drift
    where $vehicle::varchar is null or vehicle = $vehicle
    group by vehicle
    order by count(*) filter (where verdict <> 'held' and reason is null) desc, max(measured_ts) desc, vehicle
    limit 12
),
newest as (
    select
        *,
        case when equal_toe then 0 else coalesce(tan_caster, 0) end as toe_part
    from session_changes
    semi join drawn using (vehicle)
    where missing is null and corner in ('FL', 'FR')
    qualify row_number() over (partition by vehicle, corner order by ordered_ts desc, visit desc) = 1
),
scales as (
    select *, 1 as scale, slot_out as out, slot_aft as aft from newest where freedom = 'slot'
    union all
    select *, 1 as scale, 1 as out, 0 as aft from newest where freedom = 'plane'
    union all
    select *, 2 as scale, 0 as out, 1 as aft from newest where freedom = 'plane'
)
select
    vehicle,
    corner,
    scale,
    mm as slip_mm,
    mm * (slope_change(camber, out, aft) - toe_part * slope_change(toe, out, aft)) as camber_deg,
    mm * slope_change(caster, out, aft) as caster_deg
from scales
inner join sensitivities as camber on camber.chassis = scales.chassis and camber.response = 'camber_deg'
inner join sensitivities as caster on caster.chassis = scales.chassis and caster.response = 'caster_deg'
inner join sensitivities as toe on toe.chassis = scales.chassis and toe.response = 'toe_deg'
cross join (select unnest([-6.0::double, 6.0::double]) as mm)
order by vehicle, corner, scale, mm
