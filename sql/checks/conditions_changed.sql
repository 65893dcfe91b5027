-- title: Readings that are compared, but were taken under different conditions
-- likely: driver, fuel, place, bolts or settling changed between the readings, and with them the angles; or a condition was mistyped
-- mend: read before and after, and all repeats of a state, under the same conditions; correct a mistyped one, and load the row with --replace
-- p_mistake is NULL: the rows do not tell which it was, nor what part of the change the conditions made.
with
repeats as (
    select
        chassis,
        vehicle,
        corner,
        visit,
        format(
            'repeats of {} differ in conditions; the state is the mean of those with {} ({:d} of {:d} readings)',
            phase,
            any_value(conditions) filter (where level = 1),
            count(*) filter (where level = 1),
            count(*)
        ) as finding,
        arg_min(source_file, repeat) filter (where level > 1) as source_file,
        arg_min(source_line, repeat) filter (where level > 1) as source_line
    from condition_levels
    group by chassis, vehicle, corner, visit, phase
),
pairs as (
    select
        chassis,
        vehicle,
        corner,
        visit,
        format('from {} to {}: {}', from_phase, to_phase, conditions)
            || case
                when is_move then '; slopes leave this move out'
                when visit_kind = 'session' then '; drift takes the whole difference for what the session did'
                else ''
            end as finding,
        source_file,
        source_line
    from condition_changes
)
select
    chassis,
    vehicle,
    corner,
    visit,
    finding,
    cast(null as double) as p_mistake,
    source_file,
    source_line
from repeats
union all
select
    chassis,
    vehicle,
    corner,
    visit,
    finding,
    cast(null as double) as p_mistake,
    source_file,
    source_line
from pairs
