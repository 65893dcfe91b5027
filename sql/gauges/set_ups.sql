-- title: Variance that a new set-up adds to a reading
-- grain: one row per gauge of the readings and angle, and one per angle with gauge NULL: the typical one, for readings without a gauge too
-- source: neighbouring_states, repeated_readings, states, references, readers, reading_noise, angle_priors
-- missing: walk_deg_per_week and what goes with it are NULL where a gauge has fewer than 8 pairs over four weeks
-- computed by: src/stats/tables
-- Clamps, rim, floor, rake: what all repeats of one mounting have in common and the next mounting has not. From pairs of readings of
-- one corner at one setting in two visits, by one gauge and person, and from what two readers make of one setting, about the middle of
-- those two. Pairs within one visit - repeats before and after the gauge was mounted anew (remounted), or by two readers - leave the
-- car where it stands: they tell of clamps and rim, without floor and rake. A gap is normal with the variance of both readings and twice that of a set-up, or, where the corner moved
-- in between, wider: a mixture (expectation and maximisation), of rear corners and check visits with a share of moved ones of their
-- own. The variance is the mean of its posterior with a half-normal prior for the standard deviation (Gelman 2006, Bayesian Analysis
-- 1, 515-534; from memory) whose scale is that of angle_priors, for one gauge the typical one, at the
-- weight of 20 pairs; corners of one car
-- in one visit count as fewer where they are alike (design effect of the squared gaps).
-- Of more than 65,536 such pairs a half, a quarter or less, by a hash of their corners.
-- column gauge VARCHAR: measuring equipment; NULL = typical
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column set_up_var_deg2 DOUBLE [deg2]: variance of a set-up
-- column mounting_var_deg2 DOUBLE [deg2]: part of it that another mounting changes while the car stands: clamps and rim; of all gauges the same share
-- column low_deg DOUBLE [deg]: 95 % interval of its standard deviation
-- column high_deg DOUBLE [deg]: 95 % interval of its standard deviation
-- column pair_count BIGINT: pairs that tell of it
-- column source VARCHAR: visits (its own pairs, across visits or mountings), typical (those of the others), prior (never repeated over a mounting)
-- column walk_deg_per_week DOUBLE [deg]: how far its bias moves in a week, if it walks
-- column walk_std_error_deg_per_week DOUBLE [deg]: its standard error
-- column walk_weeks DOUBLE [weeks]: time over which it was looked at
-- column walk_pair_count BIGINT: pairs
-- column p_walks DOUBLE: probability that it walks
-- column bias_rate_deg_per_week DOUBLE [deg]: mean of its rate, whether it walks or not; 0 where it hardly does
-- column bias_rate_var_deg2 DOUBLE [deg2]: variance of that
-- column walk_middle_weeks DOUBLE [weeks]: mean time of its readings that tell, from 1970 on
with
noises as (
    select reader, readers.gauge, response, sd_deg * sd_deg as one_var, shared_var_deg2 as shared_var
    from readers
    inner join reading_noise on reading_noise.gauge is not distinct from readers.gauge
),
counted as (
    select *, count(*) over (partition by reader_1 = reader_2) as pair_count
    from neighbouring_states
    where not same_visit or reader_1 <> reader_2
),
neighbours as (
    select
        counted.*,
        unnest([
            {'response': 'camber_deg', 'gap_deg': camber_gap_deg, 'count_1': camber_count_1, 'count_2': camber_count_2},
            {'response': 'caster_deg', 'gap_deg': caster_gap_deg, 'count_1': caster_count_1, 'count_2': caster_count_2},
            {'response': 'toe_deg', 'gap_deg': toe_gap_deg, 'count_1': toe_count_1, 'count_2': toe_count_2},
            {'response': 'sai_deg', 'gap_deg': sai_gap_deg, 'count_1': sai_count_1, 'count_2': sai_count_2}
        ], recursive := true)
    from counted
    where lot % cast(power(2, greatest(ceil(log2(pair_count / 65536)), 0)) as integer) = 0
),
times as (
    select vehicle, corner, visit, phase, epoch(measured_ts) / 604800 as at_weeks
    from states
),
readings_long as (
    unpivot (
        select
            state,
            reader_of(gauge, technician) as reader,
            at_weeks,
            coalesce(mounting, 1) as mounting,
            cast(hash(vehicle, visit) // 4096 as double) as cluster,
            camber_deg,
            caster_deg,
            toe_deg,
            sai_deg
        from repeated_readings
        left join times using (vehicle, corner, visit, phase)
        where mixture is not null or mounting is not null
    ) on camber_deg, caster_deg, toe_deg, sai_deg into name response value read_deg
),
cells as (
    select
        state,
        response,
        reader,
        any_value(gauge) as gauge,
        any_value(at_weeks) as at_weeks,
        mounting,
        any_value(cluster) as cluster,
        exact_mean(read_deg) as mean_deg,
        mean_var(any_value(one_var), any_value(shared_var), count(*)) as mean_var
    from readings_long
    inner join noises using (reader, response)
    group by state, response, reader, mounting
),
reference_days as (
    select
        *,
        lag(at_weeks) over following as earlier_weeks,
        lag(error_deg) over following as earlier_deg,
        lag(error_var) over following as earlier_var
    from (
        select
            gauge,
            noises.response,
            coalesce(reference, '') as reference,
            epoch(cast(reading_day(measured_at) as timestamp)) / 604800 as at_weeks,
            exact_mean(reading_deg - reference_deg) as error_deg,
            mean_var(any_value(one_var), any_value(shared_var), count(*)) as error_var
        from "references"
        inner join (select distinct gauge, response, one_var, shared_var from noises) as noises
            using (gauge)
        where noises.response = angle || '_deg' and reading_day(measured_at) is not null
        group by gauge, noises.response, coalesce(reference, ''), at_weeks
    )
    window following as (partition by gauge, response, reference order by at_weeks)
),
gaps as (
    select
        neighbours.response,
        case when reader_1 > reader_2 then second.gauge else first.gauge end as gauge,
        case when reader_1 > reader_2 then first.gauge else second.gauge end as other_gauge,
        case when reader_1 > reader_2 then at_weeks else earlier_weeks end as at_weeks,
        case when reader_1 > reader_2 then earlier_weeks else at_weeks end as other_at_weeks,
        case when reader_1 = reader_2 then 0
            else cast(hash(least(reader_1, reader_2), greatest(reader_1, reader_2)) // 4096 as double) end as pair,
        cluster,
        undisturbed,
        same_visit as stood,
        mountings,
        case when reader_1 > reader_2 then -neighbours.gap_deg else neighbours.gap_deg end as gap_deg,
        mean_var(first.one_var, first.shared_var, count_1) + mean_var(second.one_var, second.shared_var, count_2)
            as gap_var
    from neighbours
    left join noises as first on first.reader = reader_1 and first.response = neighbours.response
    left join noises as second on second.reader = reader_2 and second.response = neighbours.response
    where neighbours.gap_deg is not null
    union all by name
    select
        response,
        first.gauge,
        second.gauge as other_gauge,
        first.at_weeks,
        second.at_weeks as other_at_weeks,
        case when first.reader = second.reader then 0
            else cast(hash(first.reader, second.reader) // 4096 as double) end as pair,
        first.cluster,
        true as undisturbed,
        true as stood,
        2 as mountings,
        second.mean_deg - first.mean_deg as gap_deg,
        second.mean_var + first.mean_var as gap_var
    from cells as first
    inner join cells as second using (state, response)
    where (first.reader < second.reader and first.mounting = 1 and second.mounting = 1)
        or (first.reader = second.reader and first.mounting + 1 = second.mounting)
    union all by name
    -- References have no set-up (mountings 0): how a gauge walks shows in them.
    select
        response,
        gauge,
        gauge as other_gauge,
        earlier_weeks as at_weeks,
        at_weeks as other_at_weeks,
        0 as pair,
        cast(hash(gauge, reference, at_weeks) // 4096 as double) as cluster,
        true as undisturbed,
        false as stood,
        0 as mountings,
        error_deg - earlier_deg as gap_deg,
        error_var + earlier_var as gap_var
    from reference_days
    where earlier_weeks is not null
)
select response, visit_sd_deg, bias_sd_deg from angle_priors
union all by name
select response, gauge
from angle_priors
cross join (select distinct gauge from readers where gauge is not null) as named
union all by name
select * from gaps where gap_var is not null
order by response, gauge, gap_deg, gap_var, visit_sd_deg, pair, cluster, undisturbed, stood, mountings, at_weeks,
    other_gauge, other_at_weeks
