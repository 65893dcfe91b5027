-- title: Plates set to the end of their scale
-- likely: no mistake; the car may have wanted more than the plate can give, so what it shows is a limit and not a wish
-- mend: nothing in the file; another bolt position may reach further (strutmark clocking), and range counts these as limits
-- p_mistake is NULL: the pointer says where it stands, not where it was wanted.
with
plated as (
    select
        states.*,
        plates.mark_min,
        plates.mark_max,
        plates.mark2_min,
        plates.mark2_max,
        plates.two_scales
    from states
    left join plates as own on own.kit = states.kit and own.chassis = states.chassis
    inner join plates on plates.kit = states.kit and plates.chassis is not distinct from own.chassis
    where phase = 'after' and visit_kind in ('install', 'adjust')
),
ends as (
    select
        *,
        concat_ws(
            ' and ',
            case when mark_1 in (mark_min, mark_max)
                then format('mark is at {:g} ({})', mark_1, scale_words(mark_min, mark_max)) end,
            case
                when two_scales and mark_2 in (mark2_min, mark2_max)
                then format('second mark is at {:g} ({})', mark_2, scale_words(mark2_min, mark2_max))
            end
        ) as words
    from plated
    where mark_1 in (mark_min, mark_max) or (two_scales and mark_2 in (mark2_min, mark2_max))
)
-- One row for a corner that comes back to the same end: the latest visit.
select
    chassis,
    vehicle,
    corner,
    arg_max(visit, (ordered_ts, visit)) as visit,
    format(
        '{} in {}{}',
        words,
        coalesce(format('plate index {}', plate_index), 'a plate index that was not written down'),
        case when count(*) = 1 then '' else format(', as in {} visits in all', count(*)) end
    ) as finding,
    cast(null as double) as p_mistake,
    arg_max(source_file, (ordered_ts, visit)) as source_file,
    arg_max(source_line, (ordered_ts, visit)) as source_line
from ends
group by chassis, vehicle, corner, kit, plate_index, words
