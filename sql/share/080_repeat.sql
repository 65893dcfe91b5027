-- Whole millionths, so that sums of squares about the mean come out as those of the readings.
with
readings_long as (
    unpivot (
        select state, coalesce(mounting, 1) as mounting, gauge, technician, camber_deg, caster_deg, toe_deg, sai_deg
        from repeated_readings
    )
        on camber_deg, caster_deg, toe_deg, sai_deg into name response value read_deg
),
repeated as (
    select gauge, response, list(read_deg) as reads, median(read_deg) as middle_deg
    from readings_long
    group by state, mounting, gauge, technician, response
    having count(*) > 1
),
centred as (
    select
        number as gauge,
        response,
        list_sort([cast(micro(read_deg) - micro(middle_deg) as double) / 1e6 for read_deg in reads]) as deviations
    from repeated
    left join gauge_numbers using (gauge)
),
numbered as (
    select *, row_number() over (order by gauge, response, deviations) as cell
    from centred
)
select
    gauge,
    response,
    cell,
    unnest(deviations) as deviation_deg
from numbered
