-- title: Rows with the same angles to the last digit as another row
-- likely: the row was copied from another state, corner, visit or car, and never measured
-- mend: ask who measured; take the row out of the file, or load the true reading with --replace
-- explains: swapped_sides, wrong_placement, lost_camber_sign, included_angle_jump, downweighted_moves
-- Chance of equal angles: product over the angles of step / (2 sqrt(pi) sd), the largest it can be, with the step of the numbers
-- in the file and the repeatability of the gauge, or three quarters of the chassis' noise, as sd. Prior odds that a
-- given row is a copy of a given other one: 1 : 200 shared among the other rows of the car, 1 : 500 among those of the file.
with
angles as (
    select
        chassis,
        vehicle,
        corner,
        visit,
        phase,
        repeat,
        phase_order,
        measured_ts,
        source_file,
        source_line,
        gauge,
        unnest([
            {'response': 'camber_deg', 'read_deg': camber_deg},
            {'response': 'caster_deg', 'read_deg': caster_deg},
            {'response': 'toe_deg', 'read_deg': toe_deg},
            {'response': 'sai_deg', 'read_deg': sai_deg}
        ], recursive := true)
    from placements
),
steps as (
    select source_file, response, max(step) as step
    from (
        select source_file, response, step
        from angles
        cross join (values (0.5), (0.25), (0.2), (0.1), (1 / 12.0), (0.05), (0.02), (1 / 60.0), (0.01)) as steps(step)
        where read_deg is not null
        group by source_file, response, step
        having max(abs(read_deg - step * round(read_deg / step))) < 1e-4 or step = 0.01
    )
    group by source_file, response
),
rows_read as (
    select
        angles.chassis,
        vehicle,
        corner,
        visit,
        phase,
        repeat,
        phase_order,
        measured_ts,
        angles.source_file,
        source_line,
        string_agg(format('{} {}', replace(angles.response, '_deg', ''), read_deg), ', ' order by angles.response) as signature,
        sum(ln(2 * sqrt(pi()) * repeat_sd_deg / step) order by angles.response) as log_ratio
    from angles
    inner join check_noise
        on check_noise.chassis = angles.chassis
        and check_noise.gauge is not distinct from angles.gauge
        and check_noise.response = angles.response
    inner join steps on steps.source_file = angles.source_file and steps.response = angles.response
    where read_deg is not null
    group by
        angles.chassis, vehicle, corner, visit, phase, repeat, phase_order, measured_ts, angles.source_file, source_line
),
-- The first row with these angles, on the same car and in the same file.
compared as (
    select
        *,
        count(*) over (partition by vehicle) as vehicle_row_count,
        count(*) over (partition by source_file) as file_row_count,
        first_value(place) over (partition by signature, vehicle order by turn) as first_of_vehicle,
        first_value(place) over (partition by signature, source_file order by turn) as first_of_file
    from (
        select
            *,
            (coalesce(measured_ts, timestamp '1900-01-01'), phase_order, source_file, source_line) as turn,
            {'vehicle': vehicle, 'corner': corner, 'visit': visit, 'phase': phase, 'file': source_file, 'line': source_line} as place
        from rows_read
    )
),
-- Readings of one state may well be equal: the clamps stayed on.
copies as (
    select
        *,
        case
            when (first_of_vehicle.corner, first_of_vehicle.visit, first_of_vehicle.phase) <> (corner, visit, phase) then first_of_vehicle
            when first_of_file.vehicle <> vehicle then first_of_file
        end as original
    from compared
),
judged as (
    select
        *,
        posterior(
            case when original.vehicle = vehicle then 1 / 200.0 / vehicle_row_count else 1 / 500.0 / file_row_count end,
            log_ratio
        ) as p_mistake
    from copies
)
select
    chassis,
    vehicle,
    corner,
    visit,
    format(
        '{} ({}): to the last digit as {}{}{} ({}), {}line {}',
        signature,
        phase,
        case when original.vehicle = vehicle then '' else original.vehicle || ' ' end,
        original.corner,
        case when original.visit = visit then '' else format(' of visit {}', original.visit) end,
        original.phase,
        case when original.file = source_file then '' else original.file || ' ' end,
        original.line
    ) as finding,
    p_mistake,
    source_file,
    source_line
from judged
where original is not null and p_mistake >= 0.5
