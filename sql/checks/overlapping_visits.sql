-- title: A visit that began before another one of the same car had ended
-- likely: a date mistyped, or one visit that was written down under two names
-- mend: correct the time of reading and load the rows with --replace; a corrected visit makes other rows, so load that file with --instead-of the earlier one, or strutmark forget the wrong rows
-- p_mistake is 1: one car cannot be in two visits. Visits that share no more than a day without clock times are left alone, but where
-- one of them has clock times: which came first is then not known, and p_mistake NULL.
with
visits as (
    select
        vehicle,
        visit,
        any_value(states.chassis) as chassis,
        min(ordered_ts) as first_ts,
        max(ordered_ts) as last_ts,
        min_by(measured_ts, (ordered_ts, measured_ts)) as first_wall_ts,
        max_by(measured_ts, (ordered_ts, measured_ts)) as last_wall_ts,
        min(source_file) as source_file,
        arg_min(source_line, (source_file, source_line)) as source_line
    from states
    where measured_ts is not null
    group by vehicle, visit
),
-- The latest end among the visits that began earlier.
ordered as (
    select
        *,
        max({
            'last_ts': last_ts, 'visit': visit, 'first_ts': first_ts, 'first_wall_ts': first_wall_ts,
            'last_wall_ts': last_wall_ts
        }) over (
            partition by vehicle order by first_ts, last_ts, visit
            rows between unbounded preceding and 1 preceding
        ) as earlier
    from visits
),
days as (
    select
        vehicle,
        visit,
        cast(measured_ts as date) as day,
        bool_or(has_clock(measured_at)) as has_clock,
        any_value(chassis) as chassis,
        min(source_file) as source_file,
        arg_min(source_line, (source_file, source_line)) as source_line
    from placements
    group by vehicle, visit, day
)
select
    chassis,
    vehicle,
    cast(null as varchar) as corner,
    visit,
    format(
        'began {}, while visit {} lasted from {} to {}',
        strftime(first_wall_ts, '%Y-%m-%d %H:%M'), earlier.visit, strftime(earlier.first_wall_ts, '%Y-%m-%d %H:%M'),
        strftime(earlier.last_wall_ts, '%Y-%m-%d %H:%M')
    ) as finding,
    cast(1 as double) as p_mistake,
    source_file,
    source_line
from ordered
where first_ts < earlier.last_ts
union all
select
    chassis,
    vehicle,
    cast(null as varchar) as corner,
    visit,
    format('{} without a clock time, on the day of visit {}: taken as the earlier one', day, clocked_visit) as finding,
    cast(null as double) as p_mistake,
    source_file,
    source_line
from days as dated
inner join (select vehicle, day, min(visit) as clocked_visit from days where has_clock group by vehicle, day) as clocked
    using (vehicle, day)
where not has_clock
