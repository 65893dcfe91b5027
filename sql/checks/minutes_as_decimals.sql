-- title: Degrees and minutes that were read as decimals
-- likely: 1 deg 30 min was written 1.30 and taken as 1.30 deg
-- mend: ask whose habit it is; load the file again with an import map that says deg-min for these columns, and --replace
-- explains: toe_total_as_wheel, offset_unit_or_sign, swapped_sides, wrong_placement, lost_camber_sign, included_angle_jump, downweighted_moves
-- Judged per file, technician, gauge and visit on two things: no digits after the point over .59 (against how often the spread of the
-- chassis' angles would bring them there; one number per car, axle and angle counts), and whether the changes within visits fit
-- the offsets better once converted (noise unknown: 4 degrees of freedom of prior). Prior odds 1 : 100 (from memory), for one visit 1 : 200.
with
first_readings as (
    select *
    from placements
    qualify row_number() over (partition by vehicle, corner, visit, phase order by repeat) = 1
),
angles as (
    select
        chassis,
        vehicle,
        corner,
        visit,
        phase,
        source_file,
        source_line,
        technician,
        gauge,
        unnest([
            {'response': 'camber_deg', 'written': camber_deg},
            {'response': 'caster_deg', 'written': caster_deg},
            {'response': 'sai_deg', 'written': sai_deg}
        ], recursive := true)
    from first_readings
),
numbers as (
    select
        angles.*,
        left(corner, 1) as axle,
        minutes_part(written) >= 59.5 as is_over,
        from_minutes(written) as converted,
        check_states.* exclude (chassis, vehicle, corner, visit, phase, response, source_file, source_line)
    from angles
    inner join check_states using (vehicle, corner, visit, phase, response)
    where written is not null
),
spreads as (
    select
        chassis,
        axle,
        response,
        median(abs(written)) as middle,
        greatest(coalesce(1.4826 * mad(abs(written)), 0), 0.3) as sd
    from numbers
    group by chassis, axle, response
),
-- Share of such numbers whose digits after the point would be .59 or less.
expected as (
    select
        chassis,
        axle,
        response,
        greatest(least(sum(
            normal_cdf((floor(middle) + step + 0.595 - middle) / sd) - normal_cdf((floor(middle) + step - 0.005 - middle) / sd)
            order by step
        ), 1), 0.5) as share
    from spreads
    cross join unnest(range(-6, 7)) as steps(step)
    group by chassis, axle, response
),
-- What a change within a visit leaves over, as written and converted, in standard errors of the chassis.
changes as (
    select
        *,
        lag(kit) over visit_order is not distinct from kit as same_kit,
        offset_out_mm - lag(offset_out_mm) over visit_order as move_out_mm,
        offset_aft_mm - lag(offset_aft_mm) over visit_order as move_aft_mm,
        written + toe_part_deg - lag(written + toe_part_deg) over visit_order
            - slope_out * (offset_out_mm - lag(offset_out_mm) over visit_order)
            - slope_aft * (offset_aft_mm - lag(offset_aft_mm) over visit_order) as left_as_written,
        converted + toe_part_deg - lag(converted + toe_part_deg) over visit_order
            - slope_out * (offset_out_mm - lag(offset_out_mm) over visit_order)
            - slope_aft * (offset_aft_mm - lag(offset_aft_mm) over visit_order) as left_converted
    from numbers
    window visit_order as (partition by vehicle, corner, visit, response order by phase_order)
),
squares as (
    select
        *,
        2 * read_var_deg2 * read_count + predicted_var(changes, move_out_mm, move_aft_mm, 0, 0, 0) as change_var,
        -- least() skips NULL, so the case keeps what cannot be compared out.
        case when same_kit and left_converted is not null then least(left_as_written * left_as_written / change_var, 25) end
            as square_as_written,
        case when same_kit and left_converted is not null then least(left_converted * left_converted / change_var, 25) end
            as square_converted
    from changes
),
cells as (
    select
        source_file,
        technician,
        gauge,
        visit,
        chassis,
        vehicle,
        axle,
        response,
        count(*) as number_count,
        count(*) filter (where is_over) as over_count,
        count(square_converted) as change_count,
        coalesce(exact_sum(square_as_written), 0) as square_as_written,
        coalesce(exact_sum(square_converted), 0) as square_converted,
        min(source_line) as source_line
    from squares
    group by source_file, technician, gauge, visit, chassis, vehicle, axle, response
),
by_source as (
    select
        unnest(['file', 'technician', 'gauge', 'visit']) as source_kind,
        unnest([source_file, technician, gauge, vehicle || ' ' || visit]) as source_name,
        cells.*
    from cells
),
by_car as (
    select
        source_kind,
        source_name,
        chassis,
        vehicle,
        axle,
        response,
        sum(number_count) as number_count,
        sum(over_count) as over_count,
        sum(change_count) as change_count,
        exact_sum(square_as_written) as square_as_written,
        exact_sum(square_converted) as square_converted,
        min(source_file) as source_file,
        arg_min(source_line, (source_file, source_line)) as source_line,
        case when source_kind = 'visit' then any_value(visit) end as visit
    from by_source
    where source_name is not null
    group by source_kind, source_name, chassis, vehicle, axle, response
),
judged as (
    select
        source_kind,
        source_name,
        cast(sum(number_count) as bigint) as number_count,
        cast(sum(over_count) as bigint) as over_count,
        cast(sum(change_count) as bigint) as change_count,
        exact_sum(square_as_written) as square_as_written,
        exact_sum(square_converted) as square_converted,
        posterior(
            case when source_kind = 'visit' then 1 / 200.0 else 1 / 100.0 end,
            exact_sum(-ln(share))
                + sum(over_count) * ln(0.02)
                + sum(change_count) * ln(1 / 0.6)
                - (sum(change_count) + 4) / 2.0 * ln((4 + exact_sum(square_converted)) / (4 + exact_sum(square_as_written)))
        ) as p_mistake,
        min(source_file) as source_file,
        arg_min(source_line, (source_file, source_line)) as source_line,
        any_value(visit) as visit,
        case when source_kind = 'visit' then any_value(vehicle) end as vehicle,
        case when source_kind = 'visit' then any_value(chassis) end as chassis
    from by_car
    inner join expected using (chassis, axle, response)
    group by source_kind, source_name
),
-- What stands wholly in a file, or was read wholly by a person, already named adds nothing.
named as (
    select judged.*
    from judged
    where p_mistake >= 0.5
        and not exists (
            select 1
            from by_source as part
            inner join by_source as whole using (vehicle, visit, axle, response, source_line)
            inner join judged as wider
                on wider.source_kind = whole.source_kind and wider.source_name = whole.source_name and wider.p_mistake >= 0.5
            where part.source_kind = judged.source_kind and part.source_name = judged.source_name
                and list_position(['file', 'technician', 'gauge', 'visit'], wider.source_kind)
                    < list_position(['file', 'technician', 'gauge', 'visit'], judged.source_kind)
        )
)
select
    chassis,
    vehicle,
    cast(null as varchar) as corner,
    visit,
    format(
        '{} of the {} angles of {} {} have digits after the point over .59{}',
        case when over_count = 0 then 'none' else cast(over_count as varchar) end,
        number_count,
        case when source_kind = 'visit' then 'this' else source_kind end,
        case when source_kind = 'visit' then 'visit' else source_name end,
        case
            when square_converted < square_as_written
            then format(', and {} changes fit the offsets better as degrees and minutes', change_count)
            else ''
        end
    ) as finding,
    p_mistake,
    source_file,
    source_line,
    source_kind,
    source_name
from named
