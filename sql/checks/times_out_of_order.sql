-- title: Times that run backwards within a visit
-- likely: a date or clock time mistyped, day and month exchanged, or phases mixed up
-- mend: correct the time of reading and load the rows with --replace; a corrected phase makes other rows, so load that file with --instead-of the earlier one, or strutmark forget the wrong rows
-- p_mistake is 1: a phase cannot be read ahead of the one before it, nor a session start outside its before and after. Zones
-- count, a reading without one as in assumed_zones; a start is compared as written where one of the two has none. Where either
-- is a date alone, only the days are compared.
with
turned as (
    select vehicle, visit, corner
    from placements
    group by vehicle, visit, corner
    having min(instant_ts) filter (where phase_order > 1) < max(instant_ts) filter (where phase_order = 1)
        or min(instant_ts) filter (where phase_order > 2) < max(instant_ts) filter (where phase_order = 2)
        or min(measured_ts) filter (where phase_order > 1) < max(measured_ts) filter (where phase_order = 1)
        or min(measured_ts) filter (where phase_order > 2) < max(measured_ts) filter (where phase_order = 2)
),
-- The others run forwards for certain, and start in no session.
looked_at as (
    select placements.*, turned.vehicle is not null as is_turned
    from placements
    left join turned using (vehicle, visit, corner)
    left join sessions using (vehicle, session)
    where is_turned or sessions.session is not null
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
        any_value(is_turned) as is_turned,
        min(instant_ts) as first_ts,
        max(instant_ts) as last_ts,
        min(measured_ts) as first_wall_ts,
        max(measured_ts) as last_wall_ts,
        arg_min(measured_at, (instant_ts, measured_at)) as measured_at,
        bool_and(has_clock(measured_at)) as has_clock,
        count(zone_minutes(measured_at)) = count(*) as has_zone,
        min(source_file) as source_file,
        min(source_line) as source_line
    from looked_at
    where measured_ts is not null
    group by vehicle, visit, corner, phase, phase_order
),
-- The latest of the phases before it with a clock time, and without.
steps as (
    select
        *,
        cast(first_wall_ts as date) as day,
        max(
            case when has_clock then {
                'ts': first_ts, 'day': cast(first_wall_ts as date), 'phase': phase, 'at': measured_at
            } end
        )
            over earlier_phases as clocked,
        max(case when not has_clock then {'day': cast(first_wall_ts as date), 'phase': phase, 'at': measured_at} end)
            over earlier_phases as dated
    from phases
    where is_turned
    window earlier_phases as (
        partition by vehicle, visit, corner order by phase_order rows between unbounded preceding and 1 preceding
    )
),
backwards as (
    select
        *,
        case
            when day < dated.day then format('{} was read at {}, {} at {}', phase, measured_at, dated.phase, dated.at)
            else format('{} was read at {}, {} at {}', phase, measured_at, clocked.phase, clocked.at)
        end as finding
    from steps
    where day < dated.day or case when has_clock then first_ts < clocked.ts else day < clocked.day end
),
starts as (
    select
        session,
        vehicle,
        started_at,
        wall_time(started_at) as started_wall_ts,
        started_wall_ts - to_minutes(zone_minutes(started_at)) as started_ts
    from sessions
),
outside as (
    select
        phases.*,
        format(
            'session {} started at {}, but {} was read at {}', phases.session, started_at, phase, measured_at
        ) as finding
    from phases
    inner join starts on starts.session = phases.session and starts.vehicle = phases.vehicle
    where case
        when not has_clock or not has_clock(started_at)
        then (phase = 'before' and cast(first_wall_ts as date) > cast(started_wall_ts as date))
            or (phase = 'after' and cast(last_wall_ts as date) < cast(started_wall_ts as date))
        when has_zone and started_ts is not null
        then (phase = 'before' and first_ts > started_ts) or (phase = 'after' and last_ts < started_ts)
        else (phase = 'before' and first_wall_ts > started_wall_ts)
            or (phase = 'after' and last_wall_ts < started_wall_ts)
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
    select chassis, vehicle, corner, visit, phase || ' of session' as phase, finding, source_file,
        source_line from outside
)
group by chassis, vehicle, visit, phase
