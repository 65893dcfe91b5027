-- title: Total toe that was entered as toe of each wheel
-- likely: the total of both wheels was written in both rows, or each wheel's number was doubled
-- mend: ask whose habit it is; halve the numbers, or load the file again with an import map that says toe: total, and --replace
-- explains: downweighted_moves
-- Judged per file, technician, gauge and visit: is toe twice too large, by the target that an `after` names and by what the
-- offsets do to toe on other cars, and equal left and right, as a total is (20 % of states are where wheels are
-- read one by one to 0.01 deg, more in proportion to a coarser display)?
-- Prior (from memory): per wheel 94.5 %, halved total 4 %, total 1 %, each doubled 0.5 %; half the last two for one visit.
with
fronts as (
    select
        left_states.chassis,
        left_states.vehicle,
        left_states.visit,
        left_states.visit_kind,
        left_states.phase, left_states.phase_order,
        left_states.source_file, left_states.source_line,
        left_states.technician,
        left_states.gauge,
        least(greatest(20 * coalesce(toe_step_deg, 0.01), 0.2), 0.97) as equal_share,
        left_states.target,
        left_states.toe_reset or right_states.toe_reset as toe_reset,
        left_states.kit is not distinct from right_states.kit as same_kit,
        left_states.kit,
        left_states.toe_deg as left_toe_deg,
        right_states.toe_deg as right_toe_deg,
        (left_states.toe_deg + right_states.toe_deg) / 2 as toe_deg,
        abs(left_states.toe_deg - right_states.toe_deg) < 0.002 as is_equal,
        left_states.offset_out_mm as left_out_mm, left_states.offset_aft_mm as left_aft_mm,
        right_states.offset_out_mm as right_out_mm, right_states.offset_aft_mm as right_aft_mm
    from states as left_states
    inner join states as right_states using (vehicle, visit, phase)
    left join check_steps
        on check_steps.source_file = left_states.source_file
            and check_steps.gauge is not distinct from left_states.gauge
    where left_states.corner = 'FL' and right_states.corner = 'FR'
        and left_states.toe_deg is not null and right_states.toe_deg is not null
),
aims as (
    select fronts.*, coalesce(own.toe_deg, common.toe_deg) as aim_deg, toe_sd_deg as sd_deg
    from fronts
    inner join check_noise on check_noise.chassis = fronts.chassis
        and check_noise.gauge is not distinct from fronts.gauge
    left join targets as own on own.target = fronts.target and own.chassis = fronts.chassis
    left join targets as common on common.target = fronts.target and common.chassis is null
),
changes as (
    select
        *,
        not toe_reset and lag(kit) over visit_order is not distinct from kit as same_rods,
        left_toe_deg - lag(left_toe_deg) over visit_order as left_change_deg,
        right_toe_deg - lag(right_toe_deg) over visit_order as right_change_deg,
        left_out_mm - lag(left_out_mm) over visit_order as left_move_out_mm,
        left_aft_mm - lag(left_aft_mm) over visit_order as left_move_aft_mm,
        right_out_mm - lag(right_out_mm) over visit_order as right_move_out_mm,
        right_aft_mm - lag(right_aft_mm) over visit_order as right_move_aft_mm
    from aims
    window visit_order as (partition by vehicle, visit order by phase_order)
),
expected as (
    select
        changes.*,
        slope_of(toe_slope_out, toe_slope_aft, toe_var_out, toe_var_aft, toe_cov_out_aft) as toe_slope,
        toe_slope_out * left_move_out_mm + toe_slope_aft * left_move_aft_mm as left_deg,
        toe_slope_out * right_move_out_mm + toe_slope_aft * right_move_aft_mm as right_deg,
        slope_change_var(toe_slope, left_move_out_mm, left_move_aft_mm) as left_var,
        slope_change_var(toe_slope, right_move_out_mm, right_move_aft_mm) as right_var,
        slope_change_var(
            toe_slope, left_move_out_mm + right_move_out_mm, left_move_aft_mm + right_move_aft_mm
        ) as both_var,
        2 * sd_deg * sd_deg as noise_var,
        same_rods and abs(left_move_out_mm) + abs(left_move_aft_mm) + abs(right_move_out_mm)
            + abs(right_move_aft_mm) > 1e-6
            as is_change,
        phase = 'after' and aim_deg is not null as is_aimed
    from changes
    inner join check_slopes on check_slopes.chassis = changes.chassis and check_slopes.vehicle = changes.vehicle
),
-- Log likelihoods; a wheel is set within 0.05 deg of its aim (from memory). A total takes the changes of both sides together.
compared as (
    select
        *,
        case when is_aimed then log_mixed_normal(toe_deg - aim_deg, power(0.05, 2)) end as aim_once,
        case when is_aimed then log_mixed_normal(toe_deg - 2 * aim_deg, 4 * power(0.05, 2)) end as aim_twice,
        case when is_change then
            log_mixed_normal(left_change_deg - left_deg, noise_var + left_var)
                + log_mixed_normal(right_change_deg - right_deg, noise_var + right_var)
        end as wheels_once,
        case when is_change then
            log_mixed_normal(left_change_deg - 2 * left_deg, 4 * (noise_var + left_var))
                + log_mixed_normal(right_change_deg - 2 * right_deg, 4 * (noise_var + right_var))
        end as wheels_twice,
        case when is_change then
            log_mixed_normal(
                (left_change_deg + right_change_deg - left_deg - right_deg) / 2, (2 * noise_var + both_var) / 4
            )
        end as both_half,
        case when is_change then
            log_mixed_normal((left_change_deg + right_change_deg) / 2 - left_deg - right_deg, 2 * noise_var + both_var)
        end as both_whole
    from expected
),
by_source as (
    select
        unnest(['file', 'technician', 'gauge', 'visit']) as source_kind,
        unnest([compared.source_file, technician, gauge, vehicle || ' ' || visit]) as source_name,
        compared.*
    from compared
),
summed as (
    select
        source_kind,
        source_name,
        count(*) as state_count,
        count(*) filter (where is_equal) as equal_count,
        exact_sum(ln(case when is_equal then equal_share else 1 - equal_share end)) as as_wheels,
        count(aim_once) as aim_count,
        count(both_half) as change_count,
        exact_sum(coalesce(aim_once, 0)) as aim_once,
        exact_sum(coalesce(aim_twice, 0)) as aim_twice,
        exact_sum(coalesce(wheels_twice - wheels_once, 0)) as wheels_ratio,
        exact_sum(coalesce(both_whole - both_half, 0)) as total_ratio,
        case when source_kind = 'visit' then any_value(chassis) end as chassis,
        case when source_kind = 'visit' then any_value(vehicle) end as vehicle,
        case when source_kind = 'visit' then any_value(visit) end as visit
    from by_source
    where source_name is not null
    group by source_kind, source_name
),
weighed as (
    select
        *,
        case when source_kind = 'visit' then 0.5 else 1 end as share,
        equal_count * ln(0.97) + (state_count - equal_count) * ln(0.03) as as_total
    from summed
),
judged as (
    select
        *,
        posterior(
            1,
            log_add(
                ln(0.01 * share) + as_total + aim_twice + total_ratio,
                ln(0.005 * share) + as_wheels + aim_twice + wheels_ratio
            ) - log_add(ln(0.04) + as_total + aim_once, ln(0.96 - 0.015 * share) + as_wheels + aim_once)
        ) as p_mistake
    from weighed
),
likely as materialized (
    select * from judged where p_mistake >= 0.5
),
of_likely as (
    select * from by_source semi join likely using (source_kind, source_name)
),
first_lines as (
    select source_kind, source_name, min(source_file) as source_file,
        arg_min(source_line, (source_file, source_line)) as source_line,
        exact_sum(case when is_aimed then toe_deg end) / nullif(count(aim_once), 0) as toe_deg,
        exact_sum(case when is_aimed then aim_deg end) / nullif(count(aim_once), 0) as aim_deg
    from of_likely
    group by source_kind, source_name
)
select
    chassis,
    vehicle,
    cast(null as varchar) as corner,
    visit,
    format(
        'toe of {} is about twice what {} would make it, and equal left and right in {} of {} states',
        case when source_kind = 'visit' then 'this visit' else source_kind || ' ' || source_name end,
        concat_ws(
            ' and ',
            case when aim_count = 1 then 'the target' when aim_count > 1 then format('{} targets', aim_count) end,
            case when change_count = 1 then 'the change'
                when change_count > 1 then format('{} changes', change_count) end
        ),
        equal_count,
        state_count
    ) as finding,
    p_mistake,
    source_file,
    source_line,
    source_kind,
    source_name,
    'toe' as angle, first_lines.toe_deg as read_deg, first_lines.aim_deg as expected_deg,
    1.96 * 0.05 as limit_deg, 'the target' as expected_of
from likely
inner join first_lines using (source_kind, source_name)
-- What belongs to a source already named adds nothing.
where not exists (
    select 1
    from of_likely as part
    inner join of_likely as whole using (vehicle, visit, phase)
    where part.source_kind = likely.source_kind and part.source_name = likely.source_name
        and list_position(['file', 'technician', 'gauge', 'visit'], whole.source_kind)
            < list_position(['file', 'technician', 'gauge', 'visit'], likely.source_kind)
)
