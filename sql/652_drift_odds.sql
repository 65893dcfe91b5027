-- title: Odds of the causes, from the prior and the sessions
-- grain: one row per cause and size class
-- source: drift_causes, drift_components, session_likelihoods
-- missing: none
-- Empirical Bayes by expectation and maximisation: a cause's share is (its prior count + the expected number of sessions with it)
-- over (all prior counts + all sessions), until no share moves by 1e-4, which leaves small shares uncertain by about 0.001; causes
-- on a corner count corner sessions, causes on the car count car sessions (Dempster, Laird and Rubin 1977; with the prior as
-- pseudo-counts it is the mode under a Dirichlet prior). Of more than 65,536 car sessions those are taken whose names' hash is
-- divisible by the smallest power of two that leaves about that many or fewer, so that a sliver of new data hardly changes the
-- sample. What it costs: a share of p has a standard error of sqrt(p (1 - p) / n) from n corner sessions of the sample, of 65,000
-- at the least 0.001 for a share of 0.07, 0.0001 for one of 0.001; and a cause that the sample never shows keeps its prior count
-- over n. Of more than 10,000 car sessions an eighth goes through 48 steps, then all of the sample through 12.
-- column cause VARCHAR: see drift_causes
-- column size INTEGER: size class; 1 where there is one only
-- column level VARCHAR: corner car
-- column place INTEGER: place within the level in lists of likelihoods
-- column prior_share DOUBLE: before the data
-- column share DOUBLE: after
-- column expected_count DOUBLE: expected number of sessions with it, of all
-- column session_count DOUBLE: corner sessions, or car sessions, all
with recursive
sizes as (
    select cause, size, any_value(size_share) as size_share from drift_components group by cause, size
),
categories as (
    select
        causes.cause,
        coalesce(sizes.size, 1) as size,
        level,
        cast(row_number() over (partition by level order by place, sizes.size) as integer) as place,
        prior_share * coalesce(size_share, 1) as prior_share,
        prior_count * prior_share * coalesce(size_share, 1) as pseudo_count,
        prior_count
    from drift_causes as causes
    left join sizes on sizes.cause = causes.cause
),
counts as (
    select count(*) as visit_count, coalesce(sum(front_count), 0) as front_count from session_likelihoods
),
sparing as (
    select case when visit_count > 65536 then cast(power(2, ceil(log2(visit_count / 65536))) as ubigint) else 1 end as one_in from counts
),
sampled as materialized (
    select
        likelihoods.*,
        hash(vehicle, visit) % (8 * one_in) = 0 as is_first
    from session_likelihoods as likelihoods
    cross join sparing
    where hash(vehicle, visit) % one_in = 0
),
sample_counts as (
    select count(*) as sampled_visits, coalesce(sum(front_count), 0) as sampled_fronts from sampled
),
steps as (
    select 0 as step, level, place, prior_share as share, cast(0 as double) as expected, sampled_visits <= 10000 as is_whole, false as settled
    from categories
    cross join sample_counts
    union all
    (
        with
        state as (
            select * replace (is_whole or settled as is_whole) from steps where step < 100 and not (is_whole and settled)
        ),
        shares as (
            select
                any_value(is_whole) as is_whole,
                list(share order by place) filter (where level = 'corner') as corner_shares,
                list(share order by place) filter (where level = 'car') as car_shares
            from state
            having count(*) > 0
        ),
        asked as (
            select *, flatten([[car * slip for slip in corner_shares[2:7]] for car in car_shares[2:]]) as slip_shares from shares
        ),
        visits as (
            select * from asked cross join sampled where is_whole or is_first
        ),
        weighed as not materialized (
            select
                *,
                list_inner_product(left_alone, corner_shares) as left_sum,
                list_inner_product(right_alone, corner_shares) as right_sum,
                car_shares[1] * none * coalesce(left_sum, 1) * coalesce(right_sum, 1) as none_weight,
                case when front_count = 2 then corner_shares[1] else 1 end as beside,
                corner_shares[1] * beside * list_inner_product(both_held, car_shares[2:]) as held_weight,
                beside * (
                    coalesce(list_inner_product(left_slips, slip_shares), 0) + coalesce(list_inner_product(right_slips, slip_shares), 0)
                ) as slip_weight,
                none_weight + held_weight + slip_weight as total
            from visits
        ),
        entries as (
            select
                unnest(range(1, len(slip_shares) + 1)) as entry,
                unnest(left_alone) * (none_weight / left_sum / total) as left_alone,
                unnest(right_alone) * (none_weight / right_sum / total) as right_alone,
                unnest(both_held) * (corner_shares[1] * beside / total) as held,
                unnest(left_slips) * (beside / total) as left_slip,
                unnest(right_slips) * (beside / total) as right_slip,
                unnest([
                    none_weight / total,
                    -- Fronts that held under a cause on the car.
                    (front_count * held_weight + (front_count - 1) * slip_weight) / total,
                    1,
                    front_count
                ]) as counted
            from weighed
        ),
        sums as (
            select
                entry,
                grid_sum(coalesce(left_alone, 0) + coalesce(right_alone, 0)) as alone,
                grid_sum(held) as held,
                grid_sum(coalesce(left_slip, 0) + coalesce(right_slip, 0)) as slip,
                grid_sum(counted) as counted
            from entries
            group by entry
        ),
        expected as (
            select 'corner' as level, entry as place, alone * corner_shares[entry] as expected from sums cross join asked
            union all
            select 'corner' as level, 1 as place, counted as expected from sums where entry = 2
            union all
            select 'corner' as level, (entry - 1) % 6 + 2 as place, slip * slip_shares[entry] as expected from sums cross join asked
            union all
            select 'car' as level, 1 as place, counted as expected from sums where entry = 1
            union all
            select 'car' as level, entry + 1 as place, held * car_shares[entry + 1] as expected from sums cross join asked
            union all
            select 'car' as level, (entry - 1) // 6 + 2 as place, slip * slip_shares[entry] as expected from sums cross join asked
        ),
        summed as (
            select level, place, exact_sum(expected) as expected from expected where expected is not null group by level, place
        ),
        session_counts as (
            select
                unnest(['car', 'corner']) as level,
                unnest([max(counted) filter (where entry = 3), max(counted) filter (where entry = 4)]) as n
            from sums
        ),
        updated as (
            select
                state.*,
                coalesce(summed.expected, 0) as new_expected,
                (pseudo_count + new_expected) / (prior_count + coalesce(n, 0)) as new_share
            from state
            inner join session_counts on session_counts.level = state.level
            inner join categories on categories.level = state.level and categories.place = state.place
            left join summed on summed.level = state.level and summed.place = state.place
        )
        select
            step + 1 as step,
            level,
            place,
            new_share as share,
            new_expected as expected,
            is_whole,
            -- A fixed number of steps where it goes on long, so that the outcome moves no farther than the data.
            case when sampled_visits > 10000 then step + 1 in (48, 60) else max(abs(new_share - share)) over () < 1e-4 end as settled
        from updated
        cross join sample_counts
    )
)
select
    cause,
    size,
    steps.level,
    steps.place,
    prior_share,
    share,
    expected * case steps.level when 'car' then visit_count / greatest(sampled_visits, 1) else front_count / greatest(sampled_fronts, 1) end as expected_count,
    cast(case steps.level when 'car' then visit_count else front_count end as double) as session_count
from steps
inner join categories on categories.level = steps.level and categories.place = steps.place
cross join counts
cross join sample_counts
qualify step = max(step) over ()
