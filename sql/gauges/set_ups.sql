-- title: Variance that a new set-up adds to a reading
-- grain: one row per gauge of the readings and angle, and one per angle with gauge NULL: the typical one, for readings without a gauge too
-- source: neighbouring_states, repeated_readings, readers, gauge_noises, gauge_priors
-- missing: walk_deg_per_week and its error are NULL where a gauge has fewer than 8 pairs of its own over four weeks
-- computed by: src/stats/tables
-- Clamps, rim, floor, rake: what all repeats of one mounting have in common and the next mounting has not. From pairs of readings of
-- one corner at one setting in two visits, by one gauge and person, and from what two readers make of one setting, about the middle of
-- those two. Pairs within one visit - repeats before and after the gauge was mounted anew (remounted), or by two readers - leave the
-- car where it stands: they tell of clamps and rim, without floor and rake. A gap is normal with the variance of both readings and twice that of a set-up, or, where the corner moved
-- in between, wider: a mixture (expectation and maximisation), of rear corners and check visits with a share of moved ones of their
-- own. The variance is the mean of its posterior with a half-normal prior for the standard deviation (Gelman 2006, Bayesian Analysis
-- 1, 515-534; from memory) whose scale is that of gauge_priors, for one gauge the typical one, at the
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
gauge_names as (
    select distinct gauge from readers
),
noises as (
    select
        reader,
        readers.gauge,
        camber_sd_deg * camber_sd_deg as camber_var,
        camber_shared_deg2 as camber_shared,
        caster_sd_deg * caster_sd_deg as caster_var,
        caster_shared_deg2 as caster_shared,
        toe_sd_deg * toe_sd_deg as toe_var,
        toe_shared_deg2 as toe_shared,
        sai_sd_deg * sai_sd_deg as sai_var,
        sai_shared_deg2 as sai_shared
    from readers
    inner join gauge_noises on gauge_noises.gauge is not distinct from readers.gauge
),
counted as (
    select *, count(*) over (partition by reader_1 = reader_2) as pair_count
    from neighbouring_states
    where not same_visit or reader_1 <> reader_2
),
neighbours as (
    select
        counted.*,
        first.gauge,
        case when reader_1 = reader_2 then 0
            else cast(hash(least(reader_1, reader_2), greatest(reader_1, reader_2)) // 4096 as bigint) end as pair,
        case when reader_1 > reader_2 then -1 else 1 end as sign,
        mean_var(first.camber_var, first.camber_shared, camber_count_1)
            + mean_var(second.camber_var, second.camber_shared, camber_count_2) as camber_gap_var,
        mean_var(first.caster_var, first.caster_shared, caster_count_1)
            + mean_var(second.caster_var, second.caster_shared, caster_count_2) as caster_gap_var,
        mean_var(first.toe_var, first.toe_shared, toe_count_1)
            + mean_var(second.toe_var, second.toe_shared, toe_count_2) as toe_gap_var,
        mean_var(first.sai_var, first.sai_shared, sai_count_1)
            + mean_var(second.sai_var, second.sai_shared, sai_count_2) as sai_gap_var
    from counted
    left join noises as first on first.reader = reader_1
    left join noises as second on second.reader = reader_2
    where lot % cast(power(2, greatest(ceil(log2(pair_count / 65536)), 0)) as integer) = 0
),
cells as (
    select
        state,
        noises.reader,
        any_value(noises.gauge) as gauge,
        coalesce(mounting, 1) as mounting,
        any_value(cast(hash(vehicle, visit) // 4096 as bigint)) as cluster,
        exact_mean(camber_deg) as camber_deg,
        mean_var(any_value(camber_var), any_value(camber_shared), nullif(count(camber_deg), 0)) as camber_var,
        exact_mean(caster_deg) as caster_deg,
        mean_var(any_value(caster_var), any_value(caster_shared), nullif(count(caster_deg), 0)) as caster_var,
        exact_mean(toe_deg) as toe_deg,
        mean_var(any_value(toe_var), any_value(toe_shared), nullif(count(toe_deg), 0)) as toe_var,
        exact_mean(sai_deg) as sai_deg,
        mean_var(any_value(sai_var), any_value(sai_shared), nullif(count(sai_deg), 0)) as sai_var
    from repeated_readings as reads
    inner join readers on readers.gauge is not distinct from reads.gauge
        and readers.technician is not distinct from reads.technician
    inner join noises using (reader)
    where mixture is not null or mounting is not null
    group by state, noises.reader, coalesce(mounting, 1)
),
met as (
    select
        case when first.reader = second.reader then first.gauge end as gauge,
        first.cluster,
        case when first.reader = second.reader then 0
            else cast(hash(first.reader, second.reader) // 4096 as bigint) end as pair,
        second.camber_deg - first.camber_deg as camber_gap_deg,
        second.camber_var + first.camber_var as camber_gap_var,
        second.caster_deg - first.caster_deg as caster_gap_deg,
        second.caster_var + first.caster_var as caster_gap_var,
        second.toe_deg - first.toe_deg as toe_gap_deg,
        second.toe_var + first.toe_var as toe_gap_var,
        second.sai_deg - first.sai_deg as sai_gap_deg,
        second.sai_var + first.sai_var as sai_gap_var
    from cells as first
    inner join cells as second using (state)
    where (first.reader < second.reader and first.mounting = 1 and second.mounting = 1)
        or (first.reader = second.reader and first.mounting + 1 = second.mounting)
),
gaps as (
    select
        gauge,
        pair,
        cluster,
        undisturbed,
        same_visit as stood,
        mountings,
        case when same_visit then 0 else days end as days,
        sign * camber_gap_deg as camber_gap_deg,
        camber_gap_var,
        sign * caster_gap_deg as caster_gap_deg,
        caster_gap_var,
        sign * toe_gap_deg as toe_gap_deg,
        toe_gap_var,
        sign * sai_gap_deg as sai_gap_deg,
        sai_gap_var
    from neighbours
    union all by name
    select gauge, pair, cluster, true as undisturbed, true as stood, 2 as mountings, 0 as days,
        columns('_gap_(deg|var)$')
    from met
),
gaps_long as (
    select 'camber_deg' as response, camber_gap_deg as gap_deg, camber_gap_var as gap_var, gauge, pair,
        cluster, undisturbed, stood, mountings, days
    from gaps
    union all
    select 'caster_deg' as response, caster_gap_deg as gap_deg, caster_gap_var as gap_var, gauge, pair,
        cluster, undisturbed, stood, mountings, days
    from gaps
    union all
    select 'toe_deg' as response, toe_gap_deg as gap_deg, toe_gap_var as gap_var, gauge, pair,
        cluster, undisturbed, stood, mountings, days
    from gaps
    union all
    select 'sai_deg' as response, sai_gap_deg as gap_deg, sai_gap_var as gap_var, gauge, pair,
        cluster, undisturbed, stood, mountings, days
    from gaps
)
select
    response,
    cast(null as varchar) as gauge,
    cast(null as double) as gap_deg,
    cast(null as double) as gap_var,
    visit_sd_deg,
    cast(null as bigint) as pair,
    cast(null as bigint) as cluster,
    cast(null as boolean) as undisturbed,
    cast(null as boolean) as stood,
    cast(null as double) as mountings,
    cast(null as double) as days
from gauge_priors
union all
select response, gauge, null, null, null, null, null, null, null, null, null
from gauge_priors
cross join gauge_names
where gauge is not null
union all
select response, gauge, gap_deg, gap_var, null, pair, cluster, undisturbed, stood, mountings, days
from gaps_long
where gap_deg is not null and gap_var is not null
order by all
