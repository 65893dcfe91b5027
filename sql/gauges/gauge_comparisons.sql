-- title: Comparisons of gauges and people on one part
-- grain: one row per angle, lot of cars and two ways of reading (gauge and person) that read one part, a part being something that did not change in between
-- source: repeated_readings, neighbouring_states, readers, reading_noise, set_ups
-- missing: gauges and technicians are NULL where not named
-- Two kinds of part. A state that was read more than once: where several read it, each has a mounting of its own, and what a set-up adds
-- averages out over mountings, not over their repeats. And, for gauges or people that never met on one state, two consecutive
-- states of one corner at one setting, each the mean of one gauge and person: what a set-up adds counts in both, and pairs further
-- than 4 of their standard deviations from the middle of the pairs of these two readers are left out, since something else happened in
-- between, and all that are over two degrees apart (and 20 of their standard deviations).
-- With w the weights in a part and y its readings, the sum of w (y - mean)^2 is that of w1 w2 / (sum of w) (y1 - y2)^2 over all pairs:
-- so the sums over pairs hold all that a comparison needs. A row with two equal ways holds what their own repeats scatter.
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column lot INTEGER: 128 lots of cars, by a hash of their names
-- column reader_1 BIGINT: first way, see readers
-- column reader_2 BIGINT: second way
-- column gauge_1 VARCHAR: measuring equipment
-- column technician_1 VARCHAR: who measured
-- column gauge_2 VARCHAR: measuring equipment
-- column technician_2 VARCHAR: who measured
-- column part_count BIGINT: parts that both ways read; 0 in a row with two equal ways
-- column df BIGINT: readings less parts: over all rows of an angle each part counts its readings less one
-- column weight DOUBLE: sum of the weights; weight 1 = variance of a difference equal to the typical reading variance
-- column gap_deg DOUBLE [deg]: sum of weight times second reading less first
-- column square_deg2 DOUBLE [deg2]: sum of weight times its square
with
noises as (
    select
        reader,
        typical.response,
        power(typical.sd_deg, 2) as typical_var,
        power(coalesce(own.sd_deg, typical.sd_deg), 2) as noise_var,
        set_up_var_deg2 as set_up_var,
        walk_of(bias_rate_deg_per_week, bias_rate_var_deg2, walk_middle_weeks, walk_weeks) as walk
    from readers
    cross join (select * from reading_noise where gauge is null) as typical
    left join reading_noise as own on own.gauge = readers.gauge and own.response = typical.response
    inner join set_ups on set_ups.gauge is not distinct from readers.gauge and set_ups.response = typical.response
),
readings_long as (
    unpivot (
        select chassis, car_lot(vehicle) as lot, state, coalesce(mounting, 1) as mounting,
            reader_of(gauge, technician) as reader, camber_deg, caster_deg, toe_deg, sai_deg
        from repeated_readings
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
        any_value(chassis) as chassis, any_value(lot) as lot,
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
        any_value(chassis) as chassis, any_value(lot) as lot,
        state,
        response,
        reader,
        row_number() over (partition by state, response order by reader) as place,
        sum(n) as n,
        count(*) as mounting_count,
        exact_sum(total_deg) as total_deg,
        exact_sum(square_deg2) * any_value(typical_var / noise_var) as own_square,
        any_value(typical_var) as typical_var,
        any_value(typical_var) / (any_value(noise_var) / sum(n) + any_value(set_up_var) / count(*)) as weight
    from mounted
    group by state, response, reader
),
parts as (
    select state, response, exact_sum(weight) as part_weight from cells group by state, response
),
met as (
    select
        first.chassis,
        first.lot,
        response,
        first.reader as reader_1,
        second.reader as reader_2,
        cast(first.place < second.place as integer) as part_count,
        case when part_count = 0 then first.n - first.mounting_count else cast(first.place = 1 as integer) end as df,
        part_count * first.weight * second.weight / part_weight as weight,
        second.total_deg / second.n - first.total_deg / first.n as gap_deg,
        first.typical_var / first.weight + first.typical_var / second.weight as gap_var,
        case when part_count = 0 then first.own_square else 0 end as own_square
    from cells as first
    inner join cells as second using (state, response)
    inner join parts using (state, response)
    where first.place <= second.place
),
neighbours as (
    select
        pairs.lot,
        pairs.response,
        least(reader_1, reader_2) as reader_1,
        greatest(reader_1, reader_2) as reader_2,
        -- What a gauge had walked by then is no difference of the two.
        pairs.gap_deg - walked(second.walk, at_weeks) + walked(first.walk, earlier_weeks) as step_deg,
        case when pairs.reader_1 < pairs.reader_2 then step_deg else -step_deg end as gap_deg,
        first.noise_var / count_1 + second.noise_var / count_2 as read_var,
        read_var + first.set_up_var + second.set_up_var as gap_var,
        first.typical_var / gap_var as weight
    from (
        select lot_of_cars as lot, reader_1, reader_2, earlier_weeks, at_weeks, unnest([
            {'response': 'camber_deg', 'gap_deg': camber_gap_deg, 'count_1': camber_count_1, 'count_2': camber_count_2},
            {'response': 'caster_deg', 'gap_deg': caster_gap_deg, 'count_1': caster_count_1, 'count_2': caster_count_2},
            {'response': 'toe_deg', 'gap_deg': toe_gap_deg, 'count_1': toe_count_1, 'count_2': toe_count_2},
            {'response': 'sai_deg', 'gap_deg': sai_gap_deg, 'count_1': sai_count_1, 'count_2': sai_count_2}
        ], recursive := true)
        from neighbouring_states
        where reader_1 <> reader_2
    ) as pairs
    -- Each has one; of inner joins DuckDB expects far fewer rows, and plans what follows for them.
    left join noises as first on first.reader = pairs.reader_1 and first.response = pairs.response
    left join noises as second on second.reader = pairs.reader_2 and second.response = pairs.response
    where abs(pairs.gap_deg) <= greatest(2, 20 * sqrt(read_var))
),
-- Within a state about the middle of each two readers, however far apart they are; two degrees are no bias.
kept as (
    select lot, response, reader_1, reader_2, part_count, df, weight, gap_deg, own_square
    from met
    qualify part_count = 0 or (
        abs(gap_deg) <= greatest(2, 20 * sqrt(gap_var))
        and abs(gap_deg - median(gap_deg) over (partition by chassis, response, reader_1, reader_2, part_count))
            <= 6 * sqrt(gap_var)
    )
    union all
    select lot, response, reader_1, reader_2, 1 as part_count, 1 as df, weight, gap_deg, 0 as own_square
    from neighbours
    qualify abs(gap_deg - median(gap_deg) over (partition by response, reader_1, reader_2)) <= 4 * sqrt(gap_var)
),
summed as (
    select
        lot, response, reader_1, reader_2,
        cast(sum(part_count) as bigint) as part_count,
        cast(sum(df) as bigint) as df,
        exact_sum(weight) as weight,
        exact_sum(weight * gap_deg) as gap_deg,
        exact_sum(weight * gap_deg * gap_deg + own_square) as square_deg2
    from kept
    group by lot, response, reader_1, reader_2
)
select
    response, lot, reader_1, reader_2,
    first.gauge as gauge_1, first.technician as technician_1,
    second.gauge as gauge_2, second.technician as technician_2,
    part_count,
    df,
    weight,
    gap_deg,
    square_deg2
from summed
inner join readers as first on first.reader = reader_1
inner join readers as second on second.reader = reader_2
