-- title: Comparisons of gauges and people within repeated states
-- grain: one row per chassis, angle and two readers (gauge and person) of one state
-- source: repeated_readings, readers, reading_noise, set_ups
-- missing: none
-- Where several read a state, each has a mounting of its own: what a set-up adds averages out over mountings, not over their repeats.
-- With w the weights in a state and y its readings, the sum of w (y - mean)^2 is that of w1 w2 / (sum of w) (y1 - y2)^2 over all pairs:
-- so the sums over pairs hold all that a comparison needs. A row with one reader twice holds what the own repeats scatter.
-- column chassis VARCHAR: platform code
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column reader_1 BIGINT: who read, see readers
-- column reader_2 BIGINT: who else did, or the same again
-- column part_count BIGINT: states that both read; 0 in a row with one reader twice
-- column df BIGINT: readings less states: over all rows of an angle each state counts its readings less one, and less its further mountings by one reader
-- column weight DOUBLE: sum of the weights; weight 1 = variance of a difference equal to the typical reading variance
-- column gap_deg DOUBLE [deg]: sum of weight times second reading less first
-- column square_deg2 DOUBLE [deg2]: sum of weight times its square
with
noises as (
    select
        readers.reader,
        typical.response,
        power(typical.sd_deg, 2) as typical_var,
        power(coalesce(own.sd_deg, typical.sd_deg), 2) as noise_var,
        set_up_var_deg2 as set_up_var
    from readers
    cross join (select * from reading_noise where gauge is null) as typical
    left join reading_noise as own on own.gauge = readers.gauge and own.response = typical.response
    inner join set_ups on set_ups.gauge is not distinct from readers.gauge and set_ups.response = typical.response
),
readings_long as (
    unpivot (
        select chassis, state, coalesce(mounting, 1) as mounting, reader, camber_deg, caster_deg, toe_deg, sai_deg
        from repeated_readings as reads
        inner join readers on readers.gauge is not distinct from reads.gauge
            and readers.technician is not distinct from reads.technician
    ) on camber_deg, caster_deg, toe_deg, sai_deg into name response value read_deg
),
repeated as (
    select
        readings_long.* replace (read_deg - median(read_deg) over (partition by state, response) as read_deg),
        read_deg - median(read_deg) over (partition by state, response, reader, mounting) as own_deg,
        noise_var,
        set_up_var,
        typical_var
    from readings_long
    inner join noises using (reader, response)
    qualify count(*) over (partition by state, response) > 1
),
-- A typing mistake among the repeats says nothing of a gauge.
mounted as (
    select
        any_value(chassis) as chassis,
        state,
        response,
        reader,
        count(*) as n,
        exact_sum(read_deg) as total_deg,
        exact_sum(read_deg * read_deg) - total_deg * total_deg / n as square_deg2,
        any_value(typical_var) as typical_var,
        any_value(noise_var) as noise_var,
        any_value(set_up_var) as set_up_var
    from repeated
    where abs(own_deg) <= 6 * sqrt(greatest(noise_var, typical_var))
    group by state, response, reader, mounting
),
cells as (
    select
        any_value(chassis) as chassis,
        state,
        response,
        reader,
        row_number() over (partition by state, response order by reader) as place,
        cast(sum(n) as bigint) as n,
        count(*) as mounting_count,
        exact_sum(total_deg) as total_deg,
        exact_sum(square_deg2) as square_deg2,
        any_value(typical_var) as typical_var,
        any_value(typical_var / noise_var) as weight,
        any_value(typical_var) / (any_value(noise_var) / sum(n) + any_value(set_up_var) / count(*)) as mean_weight
    from mounted
    group by state, response, reader
),
parts as (
    select state, response, exact_sum(mean_weight) as part_weight from cells group by state, response
),
met as (
    select
        first.chassis,
        response,
        first.reader as reader_1,
        second.reader as reader_2,
        case when first.place = second.place then 0 else 1 end as part_count,
        case when first.place = second.place then first.n - first.mounting_count
            when first.place = 1 then 1 else 0 end as df,
        case when first.place = second.place then 0
            else first.mean_weight * second.mean_weight / part_weight end as weight,
        second.total_deg / second.n - first.total_deg / first.n as gap_deg,
        first.typical_var / first.mean_weight + first.typical_var / second.mean_weight as gap_var,
        case when first.place = second.place
            then first.weight * first.square_deg2 else 0 end as own_square
    from cells as first
    inner join cells as second using (state, response)
    inner join parts using (state, response)
    where first.place <= second.place
),
-- About the middle of each two readers, however far apart they are; two degrees are no bias.
kept as (
    select *
    from met
    qualify part_count = 0 or (
        abs(gap_deg) <= greatest(2, 20 * sqrt(gap_var))
        and abs(gap_deg - median(gap_deg) over (partition by chassis, response, reader_1, reader_2, part_count))
            <= 6 * sqrt(gap_var)
    )
)
select
    chassis,
    response,
    reader_1,
    reader_2,
    cast(sum(part_count) as bigint) as part_count,
    cast(sum(df) as bigint) as df,
    exact_sum(weight) as weight,
    exact_sum(weight * gap_deg) as gap_deg,
    exact_sum(weight * gap_deg * gap_deg + own_square) as square_deg2
from kept
group by chassis, response, reader_1, reader_2
