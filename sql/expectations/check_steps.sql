-- title: Display step of each gauge
-- grain: one row per source file and gauge of the readings that hold an angle; gauge NULL = not named
-- source: readings
-- missing: none; what shows no coarser grid, or too few numbers for one, has that of the file, else 0.01
-- The coarsest step on whose multiples all numbers lie, where as many numbers written to 0.01 would do so by chance less than once in
-- a million times. 1/12 and 1/60 are 5 minutes and 1 minute, as decimals to 0.0001.
-- column source_file VARCHAR: file of the readings
-- column gauge VARCHAR: measuring equipment
-- column camber_step_deg DOUBLE [deg]: step of camber
-- column caster_step_deg DOUBLE [deg]: step of caster
-- column sai_step_deg DOUBLE [deg]: step of SAI
-- column toe_step_deg DOUBLE [deg]: step of toe
with
gauges as (
    select distinct source_file, gauge from readings
        where coalesce(camber_deg, caster_deg, sai_deg, toe_deg) is not null
),
written as (
    select distinct source_file, gauge, 'camber' as angle, camber_deg as read_deg from readings
        where camber_deg is not null
    union all
    select distinct source_file, gauge, 'caster' as angle, caster_deg as read_deg from readings
        where caster_deg is not null
    union all
    select distinct source_file, gauge, 'sai' as angle, sai_deg as read_deg from readings where sai_deg is not null
    union all
    select distinct source_file, gauge, 'toe' as angle, toe_deg as read_deg from readings where toe_deg is not null
),
on_steps as (
    select
        source_file,
        gauge,
        angle,
        step_deg,
        max(abs(read_deg - step_deg * round(read_deg / step_deg))) < 1e-4 as fits,
        count(*) * ln(step_deg / 0.01) > ln(1e6) as is_sure
    from written
    cross join (values (0.5), (0.25), (0.2), (0.1), (1 / 12.0), (0.05), (0.02), (1 / 60.0)) as steps(step_deg)
    group by source_file, gauge, angle, step_deg
),
of_gauges as (
    select source_file, gauge, angle, max(step_deg) as step_deg
    from on_steps
    where fits and is_sure
    group by source_file, gauge, angle
),
of_files as (
    select source_file, angle, max(step_deg) as step_deg
    from (select source_file, angle, step_deg from on_steps group by source_file, angle, step_deg having bool_and(fits))
    group by source_file, angle
)
select
    gauges.source_file,
    gauges.gauge,
    coalesce(
        max(greatest(of_gauges.step_deg, of_files.step_deg)) filter (where angles.angle = 'camber'), 0.01
    ) as camber_step_deg,
    coalesce(
        max(greatest(of_gauges.step_deg, of_files.step_deg)) filter (where angles.angle = 'caster'), 0.01
    ) as caster_step_deg,
    coalesce(
        max(greatest(of_gauges.step_deg, of_files.step_deg)) filter (where angles.angle = 'sai'), 0.01
    ) as sai_step_deg,
    coalesce(
        max(greatest(of_gauges.step_deg, of_files.step_deg)) filter (where angles.angle = 'toe'), 0.01
    ) as toe_step_deg
from gauges
cross join (values ('camber'), ('caster'), ('sai'), ('toe')) as angles(angle)
left join of_gauges
    on of_gauges.source_file = gauges.source_file
    and of_gauges.gauge is not distinct from gauges.gauge
    and of_gauges.angle = angles.angle
left join of_files on of_files.source_file = gauges.source_file and of_files.angle = angles.angle
group by gauges.source_file, gauges.gauge
