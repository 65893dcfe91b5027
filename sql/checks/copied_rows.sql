-- title: Rows with the same angles to the last digit as another row
-- likely: the row was copied from another state, corner, visit or car, and never measured
-- mend: ask who measured; void the row with strutmark forget FILE:LINE, or load the true reading with --replace
-- explains: swapped_sides, wrong_placement, lost_camber_sign, included_angle_jump, downweighted_moves
-- Chance of equal angles: product over the angles of step / (2 sqrt(pi) sd), the largest it can be, with the display step of the
-- gauge and the repeatability of the gauge, or three quarters of the chassis' noise, as sd. Prior odds that a
-- given row is a copy of a given other one: 1 : 200 shared among the other rows of the car, 1 : 500 among those of the file. Corners of
-- one state that stand as in one other state, in the same repeats, were copied at once, if at all: their ratios add up.
with
numbers as (
    select
        chassis, vehicle, corner, visit, phase, coalesce(repeat, 1) as repeat, gauge, source_file, source_line,
        camber_deg, caster_deg, sai_deg, toe_deg
    from readings
    where coalesce(camber_deg, caster_deg, sai_deg, toe_deg) is not null
),
weighed as (
    select
        numbers.*,
        vehicle_row_count,
        file_row_count,
        coalesce(ln(2 * sqrt(pi()) * camber_repeat_sd_deg / camber_step_deg) + 0 * camber_deg, 0)
            + coalesce(ln(2 * sqrt(pi()) * caster_repeat_sd_deg / caster_step_deg) + 0 * caster_deg, 0)
            + coalesce(ln(2 * sqrt(pi()) * sai_repeat_sd_deg / sai_step_deg) + 0 * sai_deg, 0)
            + coalesce(ln(2 * sqrt(pi()) * toe_repeat_sd_deg / toe_step_deg) + 0 * toe_deg, 0) as log_ratio
    from numbers
    inner join check_noise on check_noise.chassis = numbers.chassis
        and check_noise.gauge is not distinct from numbers.gauge
    inner join check_steps on check_steps.source_file = numbers.source_file
        and check_steps.gauge is not distinct from numbers.gauge
    inner join (select vehicle, count(*) as vehicle_row_count from numbers group by vehicle) as cars using (vehicle)
    inner join (select source_file, count(*) as file_row_count from numbers group by source_file) as files
        on files.source_file = numbers.source_file
),
-- Angles that stand more than once on a car, or in a file, and are many and fine enough for that to say something on four corners.
on_vehicle as (
    select vehicle, camber_deg, caster_deg, sai_deg, toe_deg
    from weighed
    group by vehicle, camber_deg, caster_deg, sai_deg, toe_deg
    having count(*) > 1 and posterior(1 / 200.0 / max(vehicle_row_count), 4 * max(log_ratio)) >= 0.5
),
in_file as (
    select source_file, camber_deg, caster_deg, sai_deg, toe_deg
    from weighed
    group by source_file, camber_deg, caster_deg, sai_deg, toe_deg
    having count(*) > 1 and posterior(1 / 500.0 / max(file_row_count), 4 * max(log_ratio)) >= 0.5
),
repeated_angles as (
    select weighed.*
    from weighed
    semi join on_vehicle
        on on_vehicle.vehicle = weighed.vehicle
        and on_vehicle.camber_deg is not distinct from weighed.camber_deg
        and on_vehicle.caster_deg is not distinct from weighed.caster_deg
        and on_vehicle.sai_deg is not distinct from weighed.sai_deg
        and on_vehicle.toe_deg is not distinct from weighed.toe_deg
    union
    select weighed.*
    from weighed
    semi join in_file
        on in_file.source_file = weighed.source_file
        and in_file.camber_deg is not distinct from weighed.camber_deg
        and in_file.caster_deg is not distinct from weighed.caster_deg
        and in_file.sai_deg is not distinct from weighed.sai_deg
        and in_file.toe_deg is not distinct from weighed.toe_deg
),
-- The first row with these angles, on the same car and in the same file.
compared as (
    select
        *,
        first_value(place) over (
            partition by vehicle, camber_deg, caster_deg, sai_deg, toe_deg order by turn
        ) as first_of_vehicle,
        first_value(place) over (
            partition by source_file, camber_deg, caster_deg, sai_deg, toe_deg order by turn
        ) as first_of_file
    from (
        select
            repeated_angles.*,
            (place_in_time(ordered_ts, visit, phase_order), source_file, source_line) as turn,
            {
                'vehicle': vehicle, 'corner': corner, 'visit': visit, 'phase': phase, 'repeat': repeat,
                'file': source_file, 'line': source_line
            } as place
        from repeated_angles
        inner join (select vehicle, corner, visit, phase, phase_order, ordered_ts from states) as states
            using (vehicle, corner, visit, phase)
    )
),
-- Readings of one state may well be equal: the clamps stayed on.
copies as (
    select
        *,
        case
            when (first_of_vehicle.corner, first_of_vehicle.visit, first_of_vehicle.phase) <> (corner, visit, phase)
                then first_of_vehicle
            when first_of_file.vehicle <> vehicle then first_of_file
        end as original
    from compared
),
acts as (
    select
        *,
        (original.vehicle, original.visit, original.phase, original.corner = corner, original.repeat, repeat) as act,
        row_number() over (
            partition by vehicle, visit, phase, act, corner order by log_ratio desc, source_line
        ) = 1 as counts
    from copies
    where original is not null
),
judged as (
    select
        *,
        sum(micro(log_ratio)) filter (where counts) over together / 1e6 as ratio_of_all,
        count(*) filter (where counts) over together as corner_count,
        case
            when original.vehicle = vehicle then posterior(1 / 200.0 / vehicle_row_count, ratio_of_all)
            else posterior(1 / 500.0 / file_row_count, ratio_of_all)
        end as p_mistake,
        concat_ws(
            ', ',
            case when camber_deg is not null then format('camber {}', camber_deg) end,
            case when caster_deg is not null then format('caster {}', caster_deg) end,
            case when sai_deg is not null then format('sai {}', sai_deg) end,
            case when toe_deg is not null then format('toe {}', toe_deg) end
        ) as signature
    from acts
    window together as (partition by vehicle, visit, phase, act)
)
select
    chassis,
    vehicle,
    corner,
    visit,
    format(
        '{} ({}): to the last digit as {}{}{} ({}), {}line {}{}',
        signature,
        phase,
        case when original.vehicle = vehicle then '' else original.vehicle || ' ' end,
        original.corner,
        case when original.visit = visit then '' else format(' of visit {}', original.visit) end,
        original.phase,
        case when original.file = source_file then '' else original.file || ' ' end,
        original.line,
        case when corner_count > 1 then format('; {} corners of this state alike', corner_count) else '' end
    ) as finding,
    p_mistake,
    source_file,
    source_line
from judged
where p_mistake >= 0.5
