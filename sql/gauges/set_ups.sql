-- title: Variance that a new set-up adds to a reading
-- grain: one row per gauge of the readings and angle, and one per angle with gauge NULL: the typical one, for readings without a gauge too
-- source: neighbouring_states, repeated_readings, readers, reading_noise, angle_priors
-- missing: walk_deg_per_week and its error are NULL where a gauge has fewer than 8 pairs of its own over four weeks
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
-- column walk_deg_per_week DOUBLE [deg]: how far its readings of unchanged settings move in a week
-- column walk_std_error_deg_per_week DOUBLE [deg]: its standard error
-- column walk_weeks DOUBLE [weeks]: time over which it was looked at
-- column walk_pair_count BIGINT: pairs
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
        counted.* exclude (days),
        case when same_visit then 0 else days end as days,
        unnest([
            {'response': 'camber_deg', 'gap_deg': camber_gap_deg, 'count_1': camber_count_1, 'count_2': camber_count_2},
            {'response': 'caster_deg', 'gap_deg': caster_gap_deg, 'count_1': caster_count_1, 'count_2': caster_count_2},
            {'response': 'toe_deg', 'gap_deg': toe_gap_deg, 'count_1': toe_count_1, 'count_2': toe_count_2},
            {'response': 'sai_deg', 'gap_deg': sai_gap_deg, 'count_1': sai_count_1, 'count_2': sai_count_2}
        ], recursive := true)
    from counted
    where lot % cast(power(2, greatest(ceil(log2(pair_count / 65536)), 0)) as integer) = 0
),
readings_long as (
    unpivot (
        select
            state,
            reader_of(gauge, technician) as reader,
            coalesce(mounting, 1) as mounting,
            cast(hash(vehicle, visit) // 4096 as double) as cluster,
            camber_deg,
            caster_deg,
            toe_deg,
            sai_deg
        from repeated_readings
        where mixture is not null or mounting is not null
    ) on camber_deg, caster_deg, toe_deg, sai_deg into name response value read_deg
),
cells as (
    select
        state,
        response,
        reader,
        any_value(gauge) as gauge,
        mounting,
        any_value(cluster) as cluster,
        exact_mean(read_deg) as mean_deg,
        mean_var(any_value(one_var), any_value(shared_var), count(*)) as mean_var
    from readings_long
    inner join noises using (reader, response)
    group by state, response, reader, mounting
),
gaps as (
    select
        neighbours.response,
        first.gauge,
        case when reader_1 = reader_2 then 0
            else cast(hash(least(reader_1, reader_2), greatest(reader_1, reader_2)) // 4096 as double) end as pair,
        cluster,
        undisturbed,
        same_visit as stood,
        mountings,
        days,
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
        case when first.reader = second.reader then first.gauge end as gauge,
        case when first.reader = second.reader then 0
            else cast(hash(first.reader, second.reader) // 4096 as double) end as pair,
        first.cluster,
        true as undisturbed,
        true as stood,
        2 as mountings,
        0 as days,
        second.mean_deg - first.mean_deg as gap_deg,
        second.mean_var + first.mean_var as gap_var
    from cells as first
    inner join cells as second using (state, response)
    where (first.reader < second.reader and first.mounting = 1 and second.mounting = 1)
        or (first.reader = second.reader and first.mounting + 1 = second.mounting)
)
select response, visit_sd_deg from angle_priors
union all by name
select response, gauge
from angle_priors
cross join (select distinct gauge from readers where gauge is not null) as named
union all by name
select * from gaps where gap_var is not null
order by response, gauge, gap_deg, gap_var, visit_sd_deg, pair, cluster, undisturbed, stood, mountings, days
