-- title: What gauges and people read of states that were read more than once
-- grain: one row per chassis, angle and two readers (gauge and person) of one state
-- source: repeated_readings, readers, reading_noise
-- missing: none
-- With w the weights in a state and y its readings, the sum of w (y - mean)^2 is that of w1 w2 / (sum of w) (y1 - y2)^2 over all pairs:
-- so the sums over pairs hold all that a comparison needs. A row with one reader twice holds what the own repeats scatter.
-- column chassis VARCHAR: platform code
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column reader_1 BIGINT: who read, see readers
-- column reader_2 BIGINT: who else did, or the same again
-- column df BIGINT: readings less states: over all rows of an angle each state counts its readings less one
-- column weight DOUBLE: sum of the weights; weight 1 = variance of a difference equal to the typical reading variance
-- column gap_deg DOUBLE [deg]: sum of weight times second reading less first
-- column square_deg2 DOUBLE [deg2]: sum of weight times its square
with
noises as (
    select
        readers.reader,
        typical.response,
        power(typical.sd_deg, 2) as typical_var,
        power(coalesce(own.sd_deg, typical.sd_deg), 2) as noise_var
    from readers
    cross join (select * from reading_noise where gauge is null) as typical
    left join reading_noise as own on own.gauge = readers.gauge and own.response = typical.response
),
readings_long as (
    unpivot (
        select chassis, state, reader, camber_deg, caster_deg, toe_deg, sai_deg
        from repeated_readings as reads
        inner join readers on readers.gauge is not distinct from reads.gauge
            and readers.technician is not distinct from reads.technician
    ) on camber_deg, caster_deg, toe_deg, sai_deg into name response value read_deg
),
repeated as (
    select
        readings_long.* replace (read_deg - median(read_deg) over (partition by state, response) as read_deg),
        noise_var,
        typical_var
    from readings_long
    inner join noises using (reader, response)
    qualify count(*) over (partition by state, response) > 1
),
-- A typing mistake among the repeats says nothing of a gauge.
cells as (
    select
        any_value(chassis) as chassis,
        state,
        response,
        reader,
        row_number() over (partition by state, response order by reader) as place,
        count(*) as n,
        exact_sum(read_deg) as total_deg,
        exact_sum(read_deg * read_deg) as total_deg2,
        any_value(typical_var / noise_var) as weight
    from repeated
    where abs(read_deg) <= 6 * sqrt(greatest(noise_var, typical_var))
    group by state, response, reader
),
parts as (
    select state, response, exact_sum(n * weight) as part_weight from cells group by state, response
),
met as (
    select
        first.chassis,
        response,
        first.reader as reader_1,
        second.reader as reader_2,
        case when first.place = second.place then first.n - 1 when first.place = 1 then 1 else 0 end as df,
        case when first.place = second.place then 0
            else first.n * first.weight * second.n * second.weight / part_weight end as weight,
        second.total_deg / second.n - first.total_deg / first.n as gap_deg,
        case when first.place = second.place
            then first.weight * (first.total_deg2 - first.total_deg * first.total_deg / first.n) else 0 end
            as own_square
    from cells as first
    inner join cells as second using (state, response)
    inner join parts using (state, response)
    where first.place <= second.place
)
select
    chassis,
    response,
    reader_1,
    reader_2,
    cast(sum(df) as bigint) as df,
    exact_sum(weight) as weight,
    exact_sum(weight * gap_deg) as gap_deg,
    exact_sum(weight * gap_deg * gap_deg + own_square) as square_deg2
from met
group by chassis, response, reader_1, reader_2
