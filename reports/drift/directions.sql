-- Which way a slip of the present plate moves (camber, caster) on the twelve cars with most that moved, as a line of -6 to 6 mm: one row
-- per end; two scales have two lines.
with
drawn as (
    select vehicle
    from drift
    where $vehicle::varchar is null or vehicle = $vehicle
    group by vehicle
    order by count(*) filter (where verdict <> 'held') desc, max(measured_ts) desc, vehicle
    limit 12
),
newest as (
    select vehicle, corner, arg_max(visit, (ordered_ts, visit)) as visit
    from session_corners
    semi join drawn using (vehicle)
    where missing is null
    group by vehicle, corner
)
select
    effects.vehicle,
    effects.corner,
    scale,
    mm as slip_mm,
    mm * case scale when 1 then camber_1 else camber_2 end as camber_deg,
    mm * case scale when 1 then caster_1 else caster_2 end as caster_deg
from compared_fronts('session_corners', 'sensitivities', 'slip_ends') as effects
inner join newest using (vehicle, corner, visit)
cross join (select unnest([1, 2]) as scale)
cross join (select unnest([-6.0::double, 6.0::double]) as mm)
where freedom = 'plane' or (freedom = 'slot' and scale = 1)
order by effects.vehicle, effects.corner, scale, mm
