-- title: Degrees per millimetre of ride height
-- grain: one row per chassis and angle of which ride heights were written twice at one setting of a front corner, 3 mm or more apart
-- source: states, readings, reader_worths
-- computed by: src/stats/tables
-- missing: the gain and its error are NULL below 8 changes of height
-- Least squares through the origin, without what lies over 2.5 standard deviations off, its error by car and visit (the estimator of
-- src/stats/measurement/rate.ts). Springs, load and pressure count alike: each moves the body over the wheels.
-- column chassis VARCHAR: platform code
-- column response VARCHAR: camber_deg caster_deg toe_deg
-- column gain_deg_per_mm DOUBLE [deg/mm]: change of the angle when the car rises by a millimetre
-- column std_error_deg_per_mm DOUBLE [deg/mm]: its standard error
-- column change_count BIGINT: changes of height behind it
-- column noise_sd_deg DOUBLE [deg]: standard deviation of a change of the angle by measuring alone
with
written as (
    select
        states.chassis,
        states.vehicle,
        states.visit,
        states.corner,
        place_in_time(ordered_ts, states.visit, phase_order) as place,
        hash(kit, plate_index, round(offset_out_mm, 3), round(offset_aft_mm, 3)) as place_key,
        height_mm,
        toe_reset,
        camber_deg,
        caster_deg,
        toe_deg,
        mean_var(camber_one_var_deg2, camber_shared_deg2, camber_count) + camber_set_up_var_deg2 as camber_var,
        mean_var(caster_one_var_deg2, caster_shared_deg2, caster_count) + caster_set_up_var_deg2 as caster_var,
        mean_var(toe_one_var_deg2, toe_shared_deg2, toe_count) + toe_set_up_var_deg2 as toe_var
    from states
    inner join (
        select vehicle, corner, visit, phase, median(ride_height_mm) as height_mm
        from readings
        where ride_height_mm is not null and corner in ('FL', 'FR')
        group by vehicle, corner, visit, phase
    ) as heights
        on heights.vehicle = states.vehicle and heights.corner = states.corner and heights.visit = states.visit
        and heights.phase = states.phase
    inner join reader_worths on reader = reader_of(gauge, technician)
    where offset_out_mm is not null
),
followed as (
    select
        *,
        lag(written) over (partition by vehicle, corner order by place) as earlier
    from written
),
changed as (
    select
        chassis,
        cast(hash(vehicle, visit) // 4096 as double) as cluster,
        height_mm - earlier.height_mm as height_mm,
        camber_deg - earlier.camber_deg as camber_gap,
        camber_var + earlier.camber_var as camber_var,
        caster_deg - earlier.caster_deg as caster_gap,
        caster_var + earlier.caster_var as caster_var,
        case when not toe_reset then toe_deg - earlier.toe_deg end as toe_gap,
        toe_var + earlier.toe_var as toe_var
    from followed
    where place_key = earlier.place_key and abs(height_mm - earlier.height_mm) >= 3
)
select chassis, 'camber_deg' as response, height_mm, camber_gap as gap_deg, camber_var as gap_var, cluster
from changed
where camber_gap is not null
union all
select chassis, 'caster_deg' as response, height_mm, caster_gap as gap_deg, caster_var as gap_var, cluster
from changed
where caster_gap is not null
union all
select chassis, 'toe_deg' as response, height_mm, toe_gap as gap_deg, toe_var as gap_var, cluster
from changed
where toe_gap is not null
order by all
