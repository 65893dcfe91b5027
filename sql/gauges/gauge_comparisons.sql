-- title: Comparisons of gauges and people on one part
-- grain: one row per angle and two ways of reading (gauge and person) that read one part, a part being something that did not change in between
-- source: repeat_comparisons, neighbouring_states, readers, reading_noise, gauge_noises, set_ups
-- missing: gauges and technicians are NULL where not named
-- Two kinds of part. A state that was read more than once. And, for gauges or people that never met on one state, two consecutive
-- states of one corner at one setting, each the mean of one gauge and person: what a set-up adds counts in both, and pairs further
-- than 4 of their standard deviations from the middle of the pairs of these two readers are left out, since something else happened in
-- between, and all that are over two degrees apart (and 20 of their standard deviations).
-- With w the weights in a part and y its readings, the sum of w (y - mean)^2 is that of w1 w2 / (sum of w) (y1 - y2)^2 over all pairs:
-- so the sums over pairs hold all that a comparison needs. A row with two equal ways holds what their own repeats scatter.
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
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
typical as (
    select response, sd_deg * sd_deg as typical_var from reading_noise where gauge is null
),
reader_noises as (
    select
        readers.reader,
        readers.gauge,
        power(camber_sd_deg, 2) as camber_noise,
        power(caster_sd_deg, 2) as caster_noise,
        power(toe_sd_deg, 2) as toe_noise,
        power(sai_sd_deg, 2) as sai_noise
    from readers
    inner join gauge_noises on gauge_noises.gauge is not distinct from readers.gauge
),
neighbours as materialized (
    select
        states.*,
        first.gauge as gauge_1,
        second.gauge as gauge_2,
        first.camber_noise / camber_count_1 + second.camber_noise / camber_count_2 as camber_var,
        first.caster_noise / caster_count_1 + second.caster_noise / caster_count_2 as caster_var,
        first.toe_noise / toe_count_1 + second.toe_noise / toe_count_2 as toe_var,
        first.sai_noise / sai_count_1 + second.sai_noise / sai_count_2 as sai_var
    from neighbouring_states as states
    -- Each has one; of inner joins DuckDB expects far fewer rows, and plans what follows for them.
    left join reader_noises as first on first.reader = reader_1
    left join reader_noises as second on second.reader = reader_2
    where reader_1 <> reader_2
),
neighbours_long as not materialized (
    select 'camber_deg' as response, camber_gap_deg as gap_deg, camber_var as gap_var, * from neighbours
        where camber_gap_deg is not null
    union all
    select 'caster_deg' as response, caster_gap_deg as gap_deg, caster_var as gap_var, * from neighbours
        where caster_gap_deg is not null
    union all
    select 'toe_deg' as response, toe_gap_deg as gap_deg, toe_var as gap_var, * from neighbours
        where toe_gap_deg is not null
    union all
    select 'sai_deg' as response, sai_gap_deg as gap_deg, sai_var as gap_var, * from neighbours
        where sai_gap_deg is not null
),
differing as (
    select
        neighbours_long.response,
        least(reader_1, reader_2) as reader_1,
        greatest(reader_1, reader_2) as reader_2,
        case when reader_1 < reader_2 then neighbours_long.gap_deg else -neighbours_long.gap_deg end as gap_deg,
        gap_var + first.set_up_var_deg2 + second.set_up_var_deg2 as gap_var
    from neighbours_long
    left join set_ups as first on first.gauge is not distinct from gauge_1 and first.response = neighbours_long.response
    left join set_ups as second
        on second.gauge is not distinct from gauge_2 and second.response = neighbours_long.response
    where abs(neighbours_long.gap_deg) <= greatest(2, 20 * sqrt(neighbours_long.gap_var))
),
trimmed as (
    select *
    from differing
    qualify abs(gap_deg - median(gap_deg) over (partition by response, reader_1, reader_2)) <= 4 * sqrt(gap_var)
),
between_states as (
    select
        response,
        reader_1,
        reader_2,
        count(*) as part_count,
        count(*) as df,
        exact_sum(typical_var / gap_var) as weight,
        exact_sum(typical_var / gap_var * gap_deg) as gap_deg,
        exact_sum(typical_var / gap_var * gap_deg * gap_deg) as square_deg2
    from trimmed
    inner join typical using (response)
    group by response, reader_1, reader_2
),
met as (
    select response, reader_1, reader_2, part_count, df, weight, gap_deg, square_deg2 from repeat_comparisons
    union all
    select response, reader_1, reader_2, part_count, df, weight, gap_deg, square_deg2 from between_states
),
summed as (
    select
        response,
        reader_1,
        reader_2,
        cast(sum(part_count) as bigint) as part_count,
        cast(sum(df) as bigint) as df,
        exact_sum(weight) as weight,
        exact_sum(gap_deg) as gap_deg,
        exact_sum(square_deg2) as square_deg2
    from met
    group by response, reader_1, reader_2
)
select
    response,
    first.gauge as gauge_1,
    first.technician as technician_1,
    second.gauge as gauge_2,
    second.technician as technician_2,
    part_count,
    df,
    weight,
    gap_deg,
    square_deg2
from summed
inner join readers as first on first.reader = reader_1
inner join readers as second on second.reader = reader_2
