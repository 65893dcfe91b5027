-- title: Degrees and minutes that were read as decimals
-- likely: 1 deg 30 min was written 1.30 and taken as 1.30 deg
-- mend: ask whose habit it is; load the file again with an import map that says deg-min for these columns, and --replace
-- explains: toe_total_as_wheel, offset_unit_or_sign, swapped_sides, wrong_placement, lost_camber_sign, included_angle_jump, downweighted_moves
-- Only where the display step allows minutes: no dial of minutes shows halves or quarters of a hundred.
-- Judged per file, technician, gauge and visit on two things: no digits after the point over .59 (against how often the spread of the
-- chassis' angles would bring them there; one number per car, axle and angle counts), and whether the changes within visits fit
-- the offsets better once converted (noise unknown: 4 degrees of freedom of prior). Prior odds 1 : 100 (from memory), for one visit 1 : 200.
with
first_of_repeats as (
    select vehicle, corner, visit, phase, camber_deg, caster_deg, sai_deg, source_file, source_line, technician, gauge
    from placements
    semi join repeated_states using (vehicle, corner, visit, phase)
    qualify row_number() over (partition by vehicle, corner, visit, phase order by repeat) = 1
),
-- What was written first of each state, and where.
written as (
    select
        states.chassis,
        states.vehicle,
        states.corner,
        states.visit,
        states.phase_order,
        states.kit,
        left(states.corner, 1) as axle,
        case when axle = 'F' then states.offset_out_mm else 0 end as out_mm,
        case when axle = 'F' then states.offset_aft_mm else 0 end as aft_mm,
        case
            when axle = 'F'
            then coalesce(tan_deg(coalesce(states.caster_deg, chassis_casters.caster_deg)) * states.toe_deg, 0)
            else 0
        end as toe_part_deg,
        states.gauge as state_gauge,
        case when first.vehicle is null then states.camber_deg else first.camber_deg end as camber_deg,
        case when first.vehicle is null then states.caster_deg else first.caster_deg end as caster_deg,
        case when first.vehicle is null then states.sai_deg else first.sai_deg end as sai_deg,
        case when first.vehicle is null then states.source_file else first.source_file end as source_file,
        case when first.vehicle is null then states.source_line else first.source_line end as source_line,
        case when first.vehicle is null then states.technician else first.technician end as technician,
        case when first.vehicle is null then states.gauge else first.gauge end as gauge
    from states
    left join chassis_casters using (chassis)
    left join first_of_repeats as first
        on first.vehicle = states.vehicle
        and first.corner = states.corner
        and first.visit = states.visit
        and first.phase = states.phase
    where coalesce(states.camber_deg, states.caster_deg, states.sai_deg) is not null
),
fine as (
    select
        written.* replace (
            case when camber_step_deg < 0.25 then camber_deg end as camber_deg,
            case when caster_step_deg < 0.25 then caster_deg end as caster_deg,
            case when sai_step_deg < 0.25 then sai_deg end as sai_deg
        ),
        camber_step_deg,
        caster_step_deg,
        sai_step_deg
    from written
    inner join check_steps
        on check_steps.source_file = written.source_file and check_steps.gauge is not distinct from written.gauge
),
numbers as (
    select
        *,
        from_minutes(camber_deg) as camber_converted,
        from_minutes(caster_deg) as caster_converted,
        from_minutes(sai_deg) as sai_converted
    from fine
    where coalesce(camber_deg, caster_deg, sai_deg) is not null
),
neighbours as (
    select
        numbers.*,
        lag(
            columns('^(kit|out_mm|aft_mm|toe_part_deg|(camber|caster|sai)_(deg|converted))$')
        ) over visit_order as "last_\0",
        lag(
            columns('^(kit|out_mm|aft_mm|toe_part_deg|(camber|caster|sai)_(deg|converted))$'), 2
        ) over visit_order as "second_last_\0"
    from numbers
    window visit_order as (partition by vehicle, corner, visit order by phase_order)
),
-- Since the state before that has the angle too.
moved as (
    select
        *,
        case when last_camber_deg is null then second_last_kit
            else last_kit end is not distinct from kit as camber_same_kit,
        out_mm - case when last_camber_deg is null then second_last_out_mm else last_out_mm end as camber_out_mm,
        aft_mm - case when last_camber_deg is null then second_last_aft_mm else last_aft_mm end as camber_aft_mm,
        camber_deg + toe_part_deg
            - (
                case when last_camber_deg is null then second_last_camber_deg else last_camber_deg end
                + case when last_camber_deg is null then second_last_toe_part_deg else last_toe_part_deg end
            ) as camber_change_deg,
        camber_converted + toe_part_deg
            - (
                case when last_camber_deg is null then second_last_camber_converted else last_camber_converted end
                + case when last_camber_deg is null then second_last_toe_part_deg else last_toe_part_deg end
            ) as camber_converted_change_deg,
        case when last_caster_deg is null then second_last_kit
            else last_kit end is not distinct from kit as caster_same_kit,
        out_mm - case when last_caster_deg is null then second_last_out_mm else last_out_mm end as caster_out_mm,
        aft_mm - case when last_caster_deg is null then second_last_aft_mm else last_aft_mm end as caster_aft_mm,
        caster_deg
            - case when last_caster_deg is null then second_last_caster_deg
            else last_caster_deg end as caster_change_deg,
        caster_converted
            - case when last_caster_deg is null then second_last_caster_converted
            else last_caster_converted end as caster_converted_change_deg,
        case when last_sai_deg is null then second_last_kit else last_kit end is not distinct from kit as sai_same_kit,
        out_mm - case when last_sai_deg is null then second_last_out_mm else last_out_mm end as sai_out_mm,
        aft_mm - case when last_sai_deg is null then second_last_aft_mm else last_aft_mm end as sai_aft_mm,
        sai_deg - case when last_sai_deg is null then second_last_sai_deg else last_sai_deg end as sai_change_deg,
        sai_converted
            - case when last_sai_deg is null then second_last_sai_converted
            else last_sai_converted end as sai_converted_change_deg
    from neighbours
),
-- What a change within a visit leaves over, as written and converted, in squared standard errors of the chassis. least() skips NULL, so
-- the case keeps what cannot be compared out.
changes as (
    select
        moved.*,
        camber_slope_out * camber_out_mm + camber_slope_aft * camber_aft_mm as camber_expected_deg,
        case when camber_same_kit and camber_converted_change_deg - camber_expected_deg is not null then
            2 * camber_sd_deg * camber_sd_deg
                + slope_change_var(
                    slope_of(camber_slope_out, camber_slope_aft, camber_var_out, camber_var_aft, camber_cov_out_aft),
                    camber_out_mm, camber_aft_mm
                )
        end as camber_var,
        caster_slope_out * caster_out_mm + caster_slope_aft * caster_aft_mm as caster_expected_deg,
        case when caster_same_kit and caster_converted_change_deg - caster_expected_deg is not null then
            2 * caster_sd_deg * caster_sd_deg
                + slope_change_var(
                    slope_of(caster_slope_out, caster_slope_aft, caster_var_out, caster_var_aft, caster_cov_out_aft),
                    caster_out_mm, caster_aft_mm
                )
        end as caster_var,
        sai_slope_out * sai_out_mm + sai_slope_aft * sai_aft_mm as sai_expected_deg,
        case when sai_same_kit and sai_converted_change_deg - sai_expected_deg is not null then
            2 * sai_sd_deg * sai_sd_deg
                + slope_change_var(
                    slope_of(sai_slope_out, sai_slope_aft, sai_var_out, sai_var_aft, sai_cov_out_aft),
                    sai_out_mm, sai_aft_mm
                )
        end as sai_var
    from moved
    inner join check_slopes on check_slopes.chassis = moved.chassis and check_slopes.vehicle = moved.vehicle
    inner join check_noise on check_noise.chassis = moved.chassis
        and check_noise.gauge is not distinct from moved.state_gauge
),
cells as materialized (
    select
        source_file,
        technician,
        gauge,
        visit,
        chassis,
        vehicle,
        axle,
        count(camber_deg) as camber_count,
        count(*) filter (where minutes_part(camber_deg) >= 59.5) as camber_over_count,
        count(camber_var) as camber_change_count,
        coalesce(
            fine_sum(
                case when camber_var is not null
                then least(power(camber_change_deg - camber_expected_deg, 2) / camber_var, 25) end
            ), 0
        )
            as camber_square,
        coalesce(
            fine_sum(
                case when camber_var is not null
                then least(power(camber_converted_change_deg - camber_expected_deg, 2) / camber_var, 25) end
            ), 0
        ) as camber_converted_square,
        count(caster_deg) as caster_count,
        count(*) filter (where minutes_part(caster_deg) >= 59.5) as caster_over_count,
        count(caster_var) as caster_change_count,
        coalesce(
            fine_sum(
                case when caster_var is not null
                then least(power(caster_change_deg - caster_expected_deg, 2) / caster_var, 25) end
            ), 0
        )
            as caster_square,
        coalesce(
            fine_sum(
                case when caster_var is not null
                then least(power(caster_converted_change_deg - caster_expected_deg, 2) / caster_var, 25) end
            ), 0
        ) as caster_converted_square,
        count(sai_deg) as sai_count,
        count(*) filter (where minutes_part(sai_deg) >= 59.5) as sai_over_count,
        count(sai_var) as sai_change_count,
        coalesce(
            fine_sum(
                case when sai_var is not null then least(power(sai_change_deg - sai_expected_deg, 2) / sai_var, 25) end
            ), 0
        )
            as sai_square,
        coalesce(
            fine_sum(
                case when sai_var is not null
                then least(power(sai_converted_change_deg - sai_expected_deg, 2) / sai_var, 25) end
            ), 0
        ) as sai_converted_square,
        max(camber_step_deg) as camber_step_deg,
        max(caster_step_deg) as caster_step_deg,
        max(sai_step_deg) as sai_step_deg,
        min(source_line) as source_line
    from changes
    group by source_file, technician, gauge, visit, chassis, vehicle, axle
),
spreads as (
    select
        chassis,
        axle,
        median(abs(camber_deg)) as camber_middle,
        greatest(coalesce(1.4826 * mad(abs(camber_deg)), 0), 0.3) as camber_sd,
        median(abs(caster_deg)) as caster_middle,
        greatest(coalesce(1.4826 * mad(abs(caster_deg)), 0), 0.3) as caster_sd,
        median(abs(sai_deg)) as sai_middle,
        greatest(coalesce(1.4826 * mad(abs(sai_deg)), 0), 0.3) as sai_sd
    from numbers
    group by chassis, axle
),
-- Share of such numbers whose digits after the point would be .59 or less, on a display of each step.
expected as (
    select
        chassis,
        axle,
        step_deg,
        greatest(least(sum(
            normal_cdf(
                (floor(camber_middle) + whole + last_minutes(step_deg) + step_deg / 2 - camber_middle) / camber_sd
            )
                - normal_cdf((floor(camber_middle) + whole - step_deg / 2 - camber_middle) / camber_sd)
            order by whole
        ), 1), 0.5) as camber_share,
        greatest(least(sum(
            normal_cdf(
                (floor(caster_middle) + whole + last_minutes(step_deg) + step_deg / 2 - caster_middle) / caster_sd
            )
                - normal_cdf((floor(caster_middle) + whole - step_deg / 2 - caster_middle) / caster_sd)
            order by whole
        ), 1), 0.5) as caster_share,
        greatest(least(sum(
            normal_cdf((floor(sai_middle) + whole + last_minutes(step_deg) + step_deg / 2 - sai_middle) / sai_sd)
                - normal_cdf((floor(sai_middle) + whole - step_deg / 2 - sai_middle) / sai_sd)
            order by whole
        ), 1), 0.5) as sai_share
    from spreads
    cross join (
        select distinct unnest([camber_step_deg, caster_step_deg, sai_step_deg]) as step_deg from check_steps
    )
    cross join unnest(range(-6, 7)) as wholes(whole)
    group by chassis, axle, step_deg
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
        sum(camber_count + caster_count + sai_count) as number_count,
        sum(camber_over_count + caster_over_count + sai_over_count) as over_count,
        sum(camber_change_count + caster_change_count + sai_change_count) as change_count,
        fine_sum(
            -camber_change_count * ln(last_minutes(camber_step_deg) + camber_step_deg)
                - caster_change_count * ln(last_minutes(caster_step_deg) + caster_step_deg)
                - sai_change_count * ln(last_minutes(sai_step_deg) + sai_step_deg)
        ) as change_log,
        max(camber_step_deg) as camber_step_deg,
        max(caster_step_deg) as caster_step_deg,
        max(sai_step_deg) as sai_step_deg,
        fine_sum(camber_square + caster_square + sai_square) as square_as_written,
        fine_sum(camber_converted_square + caster_converted_square + sai_converted_square) as square_converted,
        sum(camber_count) > 0 as has_camber,
        sum(caster_count) > 0 as has_caster,
        sum(sai_count) > 0 as has_sai,
        case when source_kind = 'visit' then any_value(visit) end as visit
    from by_source
    where source_name is not null
    group by source_kind, source_name, chassis, vehicle, axle
),
judged as (
    select
        source_kind,
        source_name,
        cast(sum(number_count) as bigint) as number_count,
        cast(sum(over_count) as bigint) as over_count,
        cast(sum(change_count) as bigint) as change_count,
        fine_sum(square_as_written) as square_as_written,
        fine_sum(square_converted) as square_converted,
        posterior(
            case when source_kind = 'visit' then 1 / 200.0 else 1 / 100.0 end,
            fine_sum(
                case when has_camber then -ln(of_camber.camber_share) else 0 end
                + case when has_caster then -ln(of_caster.caster_share) else 0 end
                + case when has_sai then -ln(of_sai.sai_share) else 0 end
            )
                + sum(over_count) * ln(0.02)
                + fine_sum(change_log)
                - (sum(change_count) + 4) / 2.0 * ln(
                    (4 + fine_sum(square_converted)) / (4 + fine_sum(square_as_written))
                )
        ) as p_mistake,
        any_value(visit) as visit,
        case when source_kind = 'visit' then any_value(vehicle) end as vehicle,
        case when source_kind = 'visit' then any_value(by_car.chassis) end as chassis
    from by_car
    inner join expected as of_camber
        on of_camber.chassis = by_car.chassis and of_camber.axle = by_car.axle and of_camber.step_deg = camber_step_deg
    inner join expected as of_caster
        on of_caster.chassis = by_car.chassis and of_caster.axle = by_car.axle and of_caster.step_deg = caster_step_deg
    inner join expected as of_sai on of_sai.chassis = by_car.chassis and of_sai.axle = by_car.axle
        and of_sai.step_deg = sai_step_deg
    group by source_kind, source_name
),
likely as materialized (
    select * from judged where p_mistake >= 0.5
),
of_likely as (
    select * from by_source semi join likely using (source_kind, source_name)
),
first_lines as (
    select source_kind, source_name, min(source_file) as source_file,
        arg_min(source_line, (source_file, source_line)) as source_line
    from of_likely
    group by source_kind, source_name
),
-- What stands wholly in a file, or was read wholly by a person, already named adds nothing.
named as (
    select *
    from likely
    inner join first_lines using (source_kind, source_name)
    where not exists (
        select 1
        from of_likely as part
        inner join of_likely as whole using (vehicle, visit, axle, source_line)
        where part.source_kind = likely.source_kind and part.source_name = likely.source_name
            and list_position(['file', 'technician', 'gauge', 'visit'], whole.source_kind)
                < list_position(['file', 'technician', 'gauge', 'visit'], likely.source_kind)
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
