-- title: Camber that fits only with the other sign
-- likely: the minus sign of a camber was lost, or one was added
-- mend: compare the camber of these rows with the sheet; correct the sign and load them with --replace
-- explains: included_angle_jump, downweighted_moves
-- Tried per corner and visit: all phases, or one, with the sign reversed, against the camber change that the offsets allow, and
-- against the corner's other visits or, without any, the other side of the car. Prior odds (from memory): all phases 1 : 250,
-- one phase 1 : 250; one grossly wrong comparison in ten is allowed for.
with
angles as (
    select *, slope_out * offset_out_mm + slope_aft * offset_aft_mm as offset_deg
    from check_states
    where response = 'camber_deg' and offset_out_mm is not null
),
visits as (
    select vehicle, corner, visit, list_sort(list(phase)) as phases from angles group by vehicle, corner, visit
),
explanations as (
    select vehicle, corner, visit, phases, 'none' as reversed, cast(0.992 as double) as prior from visits
    union all
    select vehicle, corner, visit, phases, 'all' as reversed, 0.004 as prior from visits
    union all
    select vehicle, corner, visit, phases, unnest(phases) as reversed, 0.004 / len(phases) as prior from visits where len(phases) > 1
),
explained as (
    select
        angles.*,
        reversed,
        phases,
        prior,
        case when reversed in ('all', phase) then -read_deg else read_deg end + toe_part_deg - offset_deg as level_deg
    from angles
    inner join explanations using (vehicle, corner, visit)
),
pairs as (
    select
        later.vehicle,
        later.corner,
        later.visit,
        later.reversed,
        earlier.phase || later.phase as comparison,
        case when len(later.phases) = 3 then 2.0 / 3 else 1 end as share,
        later.level_deg - earlier.level_deg as residual_deg,
        later.read_var_deg2
            + earlier.read_var_deg2
            + case when later.kit is distinct from earlier.kit then later.mount_var_deg2 else 0 end
            + predicted_var(
                later,
                later.offset_out_mm - earlier.offset_out_mm,
                later.offset_aft_mm - earlier.offset_aft_mm,
                coalesce(later.read_error_oo_mm2 + earlier.read_error_oo_mm2, 0),
                coalesce(later.read_error_oa_mm2 + earlier.read_error_oa_mm2, 0),
                coalesce(later.read_error_aa_mm2 + earlier.read_error_aa_mm2, 0)
            ) as residual_var
    from explained as later
    inner join explained as earlier
        on earlier.vehicle = later.vehicle
        and earlier.corner = later.corner
        and earlier.visit = later.visit
        and earlier.reversed = later.reversed
        and earlier.phase_order < later.phase_order
),
-- The level of the whole visit, against other visits or, without them, the other side as it is written.
levels as (
    select
        vehicle,
        corner,
        visit,
        reversed,
        exact_mean(level_deg) as level_deg,
        exact_mean(read_var_deg2) / count(*) as read_var_deg2,
        any_value(side_var_deg2) as side_var_deg2
    from explained
    group by vehicle, corner, visit, reversed
),
against_level as (
    select
        levels.vehicle,
        levels.corner,
        levels.visit,
        reversed,
        'level' as comparison,
        cast(1 as double) as share,
        levels.level_deg - coalesce(own.other_deg, opposite.level_deg) as residual_deg,
        levels.read_var_deg2 + coalesce(own.other_var_deg2, side_var_deg2) as residual_var
    from levels
    left join check_levels as own
        on own.vehicle = levels.vehicle
        and own.corner = levels.corner
        and own.visit = levels.visit
        and own.response = 'camber_deg'
        and own.other_count > 0
    left join check_levels as opposite
        on opposite.vehicle = levels.vehicle
        and opposite.corner = left(levels.corner, 1) || case right(levels.corner, 1) when 'L' then 'R' else 'L' end
        and opposite.visit = levels.visit
        and opposite.response = 'camber_deg'
    where coalesce(own.other_deg, opposite.level_deg) is not null
),
weighed as (
    select
        vehicle,
        corner,
        visit,
        reversed,
        any_value(phases) as phases,
        ln(any_value(prior)) + sum(
            share * log_mixed_normal(residual_deg, residual_var) order by comparison
        ) as log_weight
    from explanations
    inner join (select * from pairs union all select * from against_level) using (vehicle, corner, visit, reversed)
    group by vehicle, corner, visit, reversed
),
likely as (
    select *, exp(log_weight - peak) / sum(exp(log_weight - peak)) over same_corner as p
    from (select *, max(log_weight) over (partition by vehicle, corner, visit) as peak from weighed)
    window same_corner as (partition by vehicle, corner, visit order by reversed rows between unbounded preceding and unbounded following)
),
judged as (
    select
        vehicle,
        corner,
        visit,
        1 - max(p) filter (where reversed = 'none') as p_mistake,
        list(reversed order by reversed) filter (where reversed <> 'none' and p > 0.2 * best) as candidates
    from (select *, max(p) filter (where reversed <> 'none') over (partition by vehicle, corner, visit) as best from likely)
    group by vehicle, corner, visit
)
select
    any_value(angles.chassis) as chassis,
    judged.vehicle,
    judged.corner,
    judged.visit,
    format(
        'camber {} would fit {} with the other sign{}',
        case
            when len(candidates) = 1 then string_agg(format('{:.2f} ({})', read_deg, phase), ', ' order by phase_order)
            else string_agg(format('{:.2f} ({})', read_deg, phase), ' or ' order by phase_order)
        end,
        case when any_value(other_count) > 0 then 'the other visits' else 'the other side' end,
        case when len(candidates) = 1 then '' else ': which of them cannot be told' end
    ) as finding,
    judged.p_mistake,
    arg_min(source_file, phase_order) as source_file,
    arg_min(source_line, phase_order) as source_line
from judged
inner join angles using (vehicle, corner, visit)
left join check_levels
    on check_levels.vehicle = judged.vehicle
    and check_levels.corner = judged.corner
    and check_levels.visit = judged.visit
    and check_levels.response = 'camber_deg'
where p_mistake >= 0.5 and (list_contains(candidates, 'all') or list_contains(candidates, phase))
group by judged.vehicle, judged.corner, judged.visit, judged.p_mistake, candidates
