-- What was written first of each state, as far as the display may show minutes, with the display's step of each angle; place: where the
-- strut top was, with the camber that toe adds there (deg). state_gauge: NULL where repeats differ.
create or replace temp macro first_written() as table
with
first_of_repeats as (
    select vehicle, corner, visit, phase, camber_deg, caster_deg, sai_deg, source_file, source_line, technician, gauge
    from placements
    semi join (select vehicle, corner, visit, phase from readings where repeat > 1) as repeated
        using (vehicle, corner, visit, phase)
    qualify row_number() over (partition by vehicle, corner, visit, phase order by repeat) = 1
),
written as (
    select
        states.chassis,
        states.vehicle,
        states.corner,
        states.visit,
        states.phase_order,
        states.gauge as state_gauge,
        left(states.corner, 1) as axle,
        {
            'kit': states.kit,
            'out_mm': case when axle = 'F' then states.offset_out_mm else 0 end,
            'aft_mm': case when axle = 'F' then states.offset_aft_mm else 0 end,
            'toe_part_deg': case
                when axle = 'F'
                then coalesce(tan_deg(coalesce(states.caster_deg, chassis_casters.caster_deg)) * states.toe_deg, 0)
                else 0
            end
        } as place,
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
)
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
    on check_steps.source_file = written.source_file and check_steps.gauge is not distinct from written.gauge;
