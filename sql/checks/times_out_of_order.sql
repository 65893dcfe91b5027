-- title: Times that run backwards within a visit
-- likely: a date or clock time mistyped, day and month exchanged, or phases mixed up
-- mend: correct measured_at and load the rows with --replace; a corrected phase makes other rows, so load that file with --instead-of the earlier one, or strutmark forget the wrong rows
-- p_mistake is 1: a phase cannot be read ahead of the one before it, nor a session start outside its before and after. Times
-- without a clock, and in zones other than that of the visit, are compared as they are written.
with
turned as (
    select vehicle, visit, corner
    from placements
    group by vehicle, visit, corner
    having min(measured_ts) filter (where phase = 'moved') < min(measured_ts) filter (where phase = 'before')
        or min(measured_ts) filter (where phase = 'after') < min(measured_ts) filter (where phase = 'moved')
        or min(measured_ts) filter (where phase = 'after') < min(measured_ts) filter (where phase = 'before')
),
-- The others run forwards for certain, and start in no session.
looked_at as (
    select * from placements semi join turned using (vehicle, visit, corner)
    union
    select * from placements semi join sessions using (vehicle, session)
),
phases as (
    select
        vehicle,
        visit,
        corner,
        phase,
        phase_order,
        any_value(chassis) as chassis,
        any_value(session) as session,
        min(measured_ts) as first_ts,
        max(measured_ts) as last_ts,
        min(measured_at) as measured_at,
        length(min(measured_at)) > 10 as has_clock,
        min(source_file) as source_file,
        min(source_line) as source_line
    from looked_at
    where measured_ts is not null
    group by vehicle, visit, corner, phase, phase_order
),
steps as (
    select
        *,
        lag(phase) over visit_order as from_phase,
        lag(first_ts) over visit_order as from_ts,
        lag(measured_at) over visit_order as from_at,
        lag(has_clock) over visit_order as from_has_clock
    from phases
    window visit_order as (partition by vehicle, visit, corner order by phase_order)
),
backwards as (
    select
        *,
        format('{} was read at {}, {} at {}', phase, measured_at, from_phase, from_at) as finding
    from steps
    where case
        when has_clock and from_has_clock then first_ts < from_ts
        else cast(first_ts as date) < cast(from_ts as date)
    end
),
-- Only the day is compared where either lacks a clock time.
starts as (
    select sessions.*, try_cast(left(replace(started_at, ',', '.'), 19) as timestamp) as started_ts
    from sessions
),
outside as (
    select
        phases.*,
        format('session {} started at {}, but {} was read at {}', phases.session, started_at, phase, measured_at) as finding
    from phases
    inner join starts on starts.session = phases.session and starts.vehicle = phases.vehicle
    where case
        when has_clock and length(started_at) > 10
        then (phase = 'before' and first_ts > started_ts) or (phase = 'after' and last_ts < started_ts)
        else (phase = 'before' and cast(first_ts as date) > cast(started_ts as date))
            or (phase = 'after' and cast(last_ts as date) < cast(started_ts as date))
    end
)
select
    chassis,
    vehicle,
    case when count(*) = 1 then any_value(corner) end as corner,
    visit,
    any_value(finding order by corner) as finding,
    cast(1 as double) as p_mistake,
    min(source_file) as source_file,
    arg_min(source_line, (source_file, source_line)) as source_line
from (
    select chassis, vehicle, corner, visit, phase, finding, source_file, source_line from backwards
    union all
    select chassis, vehicle, corner, visit, phase || ' of session' as phase, finding, source_file, source_line from outside
)
group by chassis, vehicle, visit, phase
