-- title: Degrees and minutes that were read as decimals
-- likely: 1 deg 30 min was written 1.30 and taken as 1.30 deg
-- mend: ask whose habit it is; load the file again with an import map that says deg-min for these columns, and --replace
-- computed by: src/stats/checks
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
-- A display too coarse for minutes shows none.
fine as (
    select
        written.* replace (
            case when camber_step_deg < 0.25 then camber_deg end as camber_deg,
            case when caster_step_deg < 0.25 then caster_deg end as caster_deg,
            case when sai_step_deg < 0.25 then sai_deg end as sai_deg
        ),
        columns('^(camber|caster|sai)_step_deg$')
    from written
    inner join check_steps
        on check_steps.source_file = written.source_file and check_steps.gauge is not distinct from written.gauge
),
numbers as (
    select * from fine where coalesce(camber_deg, caster_deg, sai_deg) is not null
),
spreads as (
    select
        chassis,
        axle,
        median(abs(columns('^(camber|caster|sai)_deg$'))) as "\0_middle",
        greatest(coalesce(1.4826 * mad(abs(columns('^(camber|caster|sai)_deg$'))), 0), 0.3) as "\0_spread"
    from numbers
    group by chassis, axle
)
select
    numbers.*,
    columns('_deg_(middle|spread)$'),
    columns('^(camber|caster|sai)_(sd_deg|slope_.+|var_.+|cov_.+)$')
from numbers
inner join spreads using (chassis, axle)
inner join check_slopes using (chassis, vehicle)
inner join check_noise on check_noise.chassis = numbers.chassis
    and check_noise.gauge is not distinct from numbers.state_gauge
order by vehicle, corner, visit, phase_order
