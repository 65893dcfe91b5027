-- Points of the plots per chassis: camber over out, caster over aft and toe over out for the 12 chassis with the most moves.
-- partial_deg: change of the angle less what the move along the other axis accounts for.
-- shown_*: the same point, drawn on the edge where it lies beyond the frame; frame_*: common frame of one response's plots,
-- wide enough for all moves of at least half weight and the lines through them. About 2000 moves are drawn at most, every plot getting
-- the same number; of those set apart the same share as of the others.
with
ranked_chassis as (
    select chassis, row_number() over (order by max(move_count) desc, chassis) as chassis_rank
    from slopes
    group by chassis
),
panels as (
    select
        ranked_chassis.chassis_rank,
        slopes.chassis,
        slopes.response,
        slopes.axis,
        slopes.estimate_deg_per_mm as own_slope,
        coalesce(other.estimate_deg_per_mm, other.shrunk_deg_per_mm) as other_slope
    from slopes
    inner join ranked_chassis on ranked_chassis.chassis = slopes.chassis
    inner join slopes as other
        on other.chassis = slopes.chassis
        and other.response = slopes.response
        and other.axis <> slopes.axis
    where chassis_rank <= 12
        and (slopes.response, slopes.axis) in (('camber_deg', 'out'), ('caster_deg', 'aft'), ('toe_deg', 'out'))
),
partial_changes as (
    select
        panels.chassis_rank,
        panels.chassis,
        panels.response,
        panels.axis,
        moves.vehicle,
        moves.corner,
        moves.visit,
        moves.from_phase,
        moves.to_phase,
        case panels.axis when 'out' then move_out_mm else move_aft_mm end as move_mm,
        change_deg - other_slope * case panels.axis when 'out' then move_aft_mm else move_out_mm end as partial_deg,
        own_slope * case panels.axis when 'out' then move_out_mm else move_aft_mm end as line_deg,
        coalesce(robust_weight, 1) as robust_weight
    from panels
    inner join moves on moves.chassis = panels.chassis and moves.response = panels.response
    left join move_fits
        on move_fits.chassis = moves.chassis
        and move_fits.vehicle = moves.vehicle
        and move_fits.corner = moves.corner
        and move_fits.visit = moves.visit
        and move_fits.from_phase = moves.from_phase
        and move_fits.to_phase = moves.to_phase
        and move_fits.response = moves.response
    -- A move across the axis says nothing about it.
    where abs(case panels.axis when 'out' then move_out_mm else move_aft_mm end) > 1e-6
),
extents as (
    select
        response,
        axis,
        coalesce(min(move_mm) filter (where robust_weight >= 0.5), min(move_mm)) as x_min,
        coalesce(max(move_mm) filter (where robust_weight >= 0.5), max(move_mm)) as x_max,
        coalesce(min(least(partial_deg, line_deg)) filter (where robust_weight >= 0.5), min(partial_deg)) as y_min,
        coalesce(max(greatest(partial_deg, line_deg)) filter (where robust_weight >= 0.5), max(partial_deg)) as y_max
    from partial_changes
    group by response, axis
),
frames as (
    select
        response,
        axis,
        least(x_min, 0) - 0.06 * (greatest(x_max, 0) - least(x_min, 0)) as frame_x_low_mm,
        greatest(x_max, 0) + 0.06 * (greatest(x_max, 0) - least(x_min, 0)) as frame_x_high_mm,
        least(y_min, 0) - 0.06 * (greatest(y_max, 0) - least(y_min, 0)) as frame_y_low_deg,
        greatest(y_max, 0) + 0.06 * (greatest(y_max, 0) - least(y_min, 0)) as frame_y_high_deg
    from extents
),
numbered as (
    select
        *,
        row_number() over (
            partition by chassis, response, axis
            order by robust_weight < 0.5, vehicle, corner, visit, from_phase, to_phase
        ) as place,
        count(*) over (partition by chassis, response, axis) as panel_move_count,
        greatest(40, 2000 // (select count(*) from panels)) as point_limit
    from partial_changes
)
select
    chassis_rank,
    chassis,
    numbered.response,
    numbered.axis,
    vehicle,
    corner,
    visit,
    from_phase,
    to_phase,
    move_mm,
    partial_deg,
    greatest(frame_x_low_mm, least(frame_x_high_mm, move_mm)) as shown_mm,
    greatest(frame_y_low_deg, least(frame_y_high_deg, partial_deg)) as shown_deg,
    robust_weight,
    case
        when move_mm not between frame_x_low_mm and frame_x_high_mm
            or partial_deg not between frame_y_low_deg and frame_y_high_deg
            then 'beyond the picture'
        when robust_weight < 0.5 then 'down-weighted'
        else 'full weight'
    end as drawn_as,
    panel_move_count,
    frame_x_low_mm,
    frame_x_high_mm,
    frame_y_low_deg,
    frame_y_high_deg
from numbered
inner join frames on frames.response = numbered.response and frames.axis = numbered.axis
-- Every k-th move where there are more than the limit.
where place * point_limit // panel_move_count > (place - 1) * point_limit // panel_move_count
    or panel_move_count <= point_limit
order by chassis_rank, numbered.response, numbered.axis, vehicle, corner, visit, from_phase, to_phase
