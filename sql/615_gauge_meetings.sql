-- title: What gauges and people read of one and the same thing
-- grain: one row per angle and two ways of reading (gauge and person) that read one part, a part being something that did not change in between
-- source: repeat_meetings, neighbouring_states, readers, reading_noise, gauge_noises, gauge_priors
-- missing: gauges and technicians are NULL where not named
-- Two kinds of part. A state that was read more than once. And, for gauges or people that never met on one state, two consecutive
-- states of one corner at one setting, each the mean of one gauge and person: what differs between set-ups adds to their variance
-- (spread of such pairs with one gauge and one person, within and between visits, with four degrees of freedom of gauge_priors;
-- of more than 65,536 such pairs a half, a quarter or less, by a hash of their corners),
-- and pairs further apart than 4 of their standard deviations are left out, since something else happened in between.
-- With w the weights in a part and y its readings, the sum of w (y - mean)^2 is that of w1 w2 / (sum of w) (y1 - y2)^2 over all pairs:
-- so the sums over pairs hold all that a comparison needs. A row with two equal ways holds what their own repeats scatter.
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column gauge_1 VARCHAR: measuring equipment
-- column technician_1 VARCHAR: who measured
-- column gauge_2 VARCHAR: measuring equipment
-- column technician_2 VARCHAR: who measured
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
        reader,
        power(camber_sd_deg, 2) as camber_noise,
        power(caster_sd_deg, 2) as caster_noise,
        power(toe_sd_deg, 2) as toe_noise,
        power(sai_sd_deg, 2) as sai_noise
    from readers
    inner join gauge_noises using (gauge)
),
-- The smallest power of two that leaves no more than 65,536 pairs of one reader.
lots as (
    select same_visit, cast(power(2, greatest(ceil(log2(count(*) / 65536)), 0)) as integer) as step
    from neighbouring_states
    where reader_1 = reader_2
    group by same_visit
),
neighbours as materialized (
    select
        states.*,
        reader_1 <> reader_2 as tells,
        first.camber_noise / camber_count_1 + second.camber_noise / camber_count_2 as camber_var,
        first.caster_noise / caster_count_1 + second.caster_noise / caster_count_2 as caster_var,
        first.toe_noise / toe_count_1 + second.toe_noise / toe_count_2 as toe_var,
        first.sai_noise / sai_count_1 + second.sai_noise / sai_count_2 as sai_var
    from neighbouring_states as states
    -- Each has one; of inner joins DuckDB expects far fewer rows, and plans what follows for them.
    left join reader_noises as first on first.reader = reader_1
    left join reader_noises as second on second.reader = reader_2
    left join lots using (same_visit)
    where reader_1 <> reader_2 or lot % step = 0
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
alike as (
    select
        response,
        same_visit,
        count(*) as pair_count,
        greatest(power(1.4826 * median(abs(gap_deg)), 2) - median(gap_var), 0) as excess_var
    from neighbours_long
    where not tells
    group by response, same_visit
),
set_ups as (
    select
        response,
        visits.same_visit,
        (
            coalesce(pair_count * excess_var, 0) + 4 * 2 * visit_sd_deg * visit_sd_deg
        ) / (coalesce(pair_count, 0) + 4) as set_up_var
    from gauge_priors
    cross join (select unnest([true, false]) as same_visit) as visits
    left join alike using (response, same_visit)
),
middles as (
    select response, reader_1, reader_2, median(gap_deg) as middle_deg
    from neighbours_long
    where tells
    group by response, reader_1, reader_2
),
differing as (
    select
        middles.*,
        gap_deg,
        gap_var + set_up_var as gap_var
    from neighbours_long as gaps
    inner join set_ups using (response, same_visit)
    inner join middles using (response, reader_1, reader_2)
    where tells
),
between_states as (
    select
        response,
        reader_1,
        reader_2,
        count(*) as df,
        exact_sum(typical_var / gap_var) as weight,
        exact_sum(typical_var / gap_var * gap_deg) as gap_deg,
        exact_sum(typical_var / gap_var * gap_deg * gap_deg) as square_deg2
    from differing
    inner join typical using (response)
    where abs(gap_deg - middle_deg) <= 4 * sqrt(gap_var)
    group by response, reader_1, reader_2
),
met as (
    select response, reader_1, reader_2, df, weight, gap_deg, square_deg2 from repeat_meetings
    union all
    select response, reader_1, reader_2, df, weight, gap_deg, square_deg2 from between_states
),
summed as (
    select
        response,
        reader_1,
        reader_2,
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
    df,
    weight,
    gap_deg,
    square_deg2
from summed
inner join readers as first on first.reader = reader_1
inner join readers as second on second.reader = reader_2
