-- Fitted lines and 95 % bands of the plots per chassis: three points each (the band of a line without intercept is a
-- pair of wedges that meet at 0), over the moves of at least half weight of that chassis.
with
ranked_chassis as (
    select chassis, row_number() over (order by max(move_count) desc, chassis) as chassis_rank
    from slopes
    group by chassis
),
panels as (
    select slopes.*
    from slopes
    inner join ranked_chassis on ranked_chassis.chassis = slopes.chassis
    where chassis_rank <= 12
        and (response, axis) in (('camber_deg', 'out'), ('caster_deg', 'aft'), ('toe_deg', 'out'))
),
ends as (
    select
        panels.chassis,
        panels.response,
        panels.axis,
        least(0, min(case axis when 'out' then move_out_mm else move_aft_mm end)) as low_mm,
        greatest(0, max(case axis when 'out' then move_out_mm else move_aft_mm end)) as high_mm
    from panels
    inner join moves on moves.chassis = panels.chassis and moves.response = panels.response
    inner join move_fits
        on move_fits.chassis = moves.chassis
        and move_fits.vehicle = moves.vehicle
        and move_fits.corner = moves.corner
        and move_fits.visit = moves.visit
        and move_fits.from_phase = moves.from_phase
        and move_fits.to_phase = moves.to_phase
        and move_fits.response = moves.response
    where robust_weight >= 0.5
    group by panels.chassis, panels.response, panels.axis
),
points as (
    select chassis, response, axis, unnest([low_mm, 0, high_mm]) as move_mm
    from ends
)
select
    chassis,
    response,
    axis,
    move_mm,
    estimate_deg_per_mm * move_mm as line_deg,
    least(conf_low_deg_per_mm * move_mm, conf_high_deg_per_mm * move_mm) as low_deg,
    greatest(conf_low_deg_per_mm * move_mm, conf_high_deg_per_mm * move_mm) as high_deg,
    shrunk_deg_per_mm * move_mm as shrunk_deg
from points
inner join panels using (chassis, response, axis)
order by chassis, response, axis, move_mm
