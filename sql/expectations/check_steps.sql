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
written as (
    select distinct source_file, gauge, response, read_deg
    from (
        unpivot (select source_file, gauge, camber_deg, caster_deg, sai_deg, toe_deg from readings)
            on camber_deg, caster_deg, sai_deg, toe_deg into name response value read_deg
    )
),
on_steps as (
    select
        source_file,
        gauge,
        response,
        step_deg,
        max(abs(read_deg - step_deg * round(read_deg / step_deg))) < 1e-4 as fits,
        count(*) * ln(step_deg / 0.01) > ln(1e6) as is_sure
    from written
    cross join (values (0.5), (0.25), (0.2), (0.1), (1 / 12.0), (0.05), (0.02), (1 / 60.0)) as steps(step_deg)
    group by source_file, gauge, response, step_deg
),
of_files as (
    select source_file, response, step_deg
    from on_steps
    group by source_file, response, step_deg
    having bool_and(fits)
),
told as (
    select source_file, gauge, response, step_deg from on_steps where fits and is_sure
    union all
    select source_file, gauge, of_files.response, step_deg
    from (select distinct source_file, gauge from written)
    inner join of_files using (source_file)
    union all
    select distinct source_file, gauge, unnest(['camber_deg', 'caster_deg', 'sai_deg', 'toe_deg']), 0.01
    from written
)
select *
from told pivot (
    max(step_deg) as step_deg
    for response in ('camber_deg' as camber, 'caster_deg' as caster, 'sai_deg' as sai, 'toe_deg' as toe)
    group by source_file, gauge
)
