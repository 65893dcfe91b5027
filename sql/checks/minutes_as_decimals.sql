-- title: Degrees and minutes that were read as decimals
-- likely: 1 deg 30 min was written 1.30 and taken as 1.30 deg
-- mend: ask whose habit it is; load the file again with an import map that says deg-min for these columns, and --replace
-- explains: toe_total_as_wheel, offset_unit_or_sign, swapped_sides, wrong_placement, lost_camber_sign, included_angle_jump, downweighted_moves
-- Only where the display step allows minutes: no dial of minutes shows halves or quarters of a hundred.
-- Judged per file, technician, gauge and visit on two things: no digits after the point over .59 (against how often the spread of the
-- chassis' angles would bring them there; one number per car, axle and angle counts), and whether the changes within visits fit
-- the offsets better once converted (noise unknown: 4 degrees of freedom of prior). Prior odds 1 : 100 (from memory), for one visit 1 : 200.
with
neighbours as (
    select
        *,
        lag(columns('^(place|(camber|caster|sai)_deg)$')) over visit_order as "last_\0",
        lag(columns('^(place|(camber|caster|sai)_deg)$'), 2) over visit_order as "earlier_\0"
    from first_written()
    window visit_order as (partition by vehicle, corner, visit order by phase_order)
),
expectations as (
    select
        neighbours.*,
        columns('^(camber|caster|sai)_sd_deg$'),
        slope_of(camber_slope_out, camber_slope_aft, camber_var_out, camber_var_aft, camber_cov_out_aft)
            as camber_slope,
        slope_of(caster_slope_out, caster_slope_aft, caster_var_out, caster_var_aft, caster_cov_out_aft)
            as caster_slope,
        slope_of(sai_slope_out, sai_slope_aft, sai_var_out, sai_var_aft, sai_cov_out_aft) as sai_slope
    from neighbours
    inner join check_slopes on check_slopes.chassis = neighbours.chassis and check_slopes.vehicle = neighbours.vehicle
    inner join check_noise
        on check_noise.chassis = neighbours.chassis and check_noise.gauge is not distinct from state_gauge
),
-- One row an angle, with the state before that has it too.
angles as (
    select
        source_file, source_line, technician, gauge, visit, chassis, vehicle, axle,
        response, read_deg, step_deg, sd_deg, place, slope,
        from_minutes(read_deg) as meant_deg,
        coalesce(last_deg, earlier_deg) as from_deg,
        case when last_deg is null then earlier_place else last_place end as from_place
    from expectations
    unpivot include nulls ((read_deg, last_deg, earlier_deg, step_deg, sd_deg, slope) for response in (
        (camber_deg, last_camber_deg, earlier_camber_deg, camber_step_deg, camber_sd_deg, camber_slope) as 'camber_deg',
        (caster_deg, last_caster_deg, earlier_caster_deg, caster_step_deg, caster_sd_deg, caster_slope) as 'caster_deg',
        (sai_deg, last_sai_deg, earlier_sai_deg, sai_step_deg, sai_sd_deg, sai_slope) as 'sai_deg'
    ))
    where read_deg is not null
),
moved as (
    select
        *,
        from_minutes(from_deg) as meant_from_deg,
        place.out_mm - from_place.out_mm as out_mm,
        place.aft_mm - from_place.aft_mm as aft_mm,
        case when response = 'camber_deg' then place.toe_part_deg - from_place.toe_part_deg else 0 end
            - slope_change(slope, out_mm, aft_mm) as rest_deg,
        case when place.kit is not distinct from from_place.kit and meant_from_deg + meant_deg is not null
            then 2 * sd_deg * sd_deg + slope_change_var(slope, out_mm, aft_mm) end as change_var
    from angles
),
-- What the change leaves over, as written and as meant: in squared standard errors of the chassis, 25 at most.
changes as (
    select
        * exclude (slope, place, from_place),
        least(power(read_deg - from_deg + rest_deg, 2), 25 * change_var) / change_var as square,
        least(power(meant_deg - meant_from_deg + rest_deg, 2), 25 * change_var) / change_var as meant_square
    from moved
),
cells as materialized (
    select
        source_file, technician, gauge, visit, chassis, vehicle, axle, response, step_deg,
        count(*) as number_count, count(*) - count(meant_deg) as over_count, count(square) as change_count,
        coalesce(fine_sum(square), 0) as square,
        coalesce(fine_sum(meant_square), 0) as meant_square,
        min(source_line) as source_line
    from changes
    group by all
),
by_source as (
    select
        unnest(['file', 'technician', 'gauge', 'visit']) as source_kind,
        unnest([source_file, technician, gauge, vehicle || ' ' || visit]) as source_name,
        unnest([1, 2, 3, 4]) as kind_order,
        cells.*
    from cells
),
-- The log of the likelihood ratio but for the shares of expected, each of which adds ln(2) at most.
promising as materialized (
    select
        source_kind, source_name,
        cast(sum(columns('^(number|over|change)_count$')) as bigint) as "\0",
        fine_sum(square) as square_as_written,
        fine_sum(meant_square) as square_converted,
        case when source_kind = 'visit' then 1 / 200.0 else 1 / 100.0 end as prior_odds,
        sum(over_count) * ln(0.02) + fine_sum(-change_count * ln(last_minutes(step_deg) + step_deg))
            - (sum(change_count) + 4) / 2.0 * ln((4 + fine_sum(meant_square)) / (4 + fine_sum(square))) as log_ratio,
        any_value(columns('^(visit|vehicle|chassis)$')) filter (where source_kind = 'visit') as "\0"
    from by_source
    where source_name is not null
    group by source_kind, source_name
    having posterior(prior_odds, log_ratio + count(*) * ln(2)) >= 0.5
),
cars as (
    select source_kind, source_name, chassis, vehicle, axle, response, max(step_deg) as step_deg
    from by_source
    semi join promising using (source_kind, source_name)
    group by all
),
spreads as (
    select
        chassis, axle, response,
        median(abs(read_deg)) as middle_deg,
        greatest(coalesce(1.4826 * mad(abs(read_deg)), 0), 0.3) as sd_deg
    from changes
    group by all
),
expected as (
    select chassis, axle, response, step_deg, share_of_minutes(step_deg, middle_deg, sd_deg) as share
    from (select distinct chassis, axle, response, step_deg from cars)
    inner join spreads using (chassis, axle, response)
),
likely as materialized (
    select promising.*, posterior(prior_odds, log_ratio + share_log) as p_mistake
    from promising
    inner join (
        select source_kind, source_name, fine_sum(-ln(share)) as share_log
        from cars
        inner join expected using (chassis, axle, response, step_deg)
        group by all
    ) as shares using (source_kind, source_name)
    where p_mistake >= 0.5
),
of_likely as (
    select *, min(kind_order) over (partition by vehicle, visit, axle, source_line) as first_order
    from by_source
    semi join likely using (source_kind, source_name)
),
-- What stands partly in a file, or was read by a person, already named adds nothing.
named as (
    select
        source_kind, source_name, min(source_file) as source_file,
        arg_min(source_line, (source_file, source_line)) as source_line
    from of_likely
    group by source_kind, source_name
    having bool_and(first_order = kind_order)
)
select
    chassis, vehicle, cast(null as varchar) as corner, visit,
    format(
        '{} of the {} angles of {} have digits after the point over .59{}',
        case when over_count = 0 then 'none' else cast(over_count as varchar) end,
        number_count,
        case when source_kind = 'visit' then 'this visit' else source_kind || ' ' || source_name end,
        case when square_converted < square_as_written
            then format(', and {} changes fit the offsets better as degrees and minutes', change_count) else '' end
    ) as finding,
    p_mistake, source_file, source_line, source_kind, source_name
from named
inner join likely using (source_kind, source_name)
