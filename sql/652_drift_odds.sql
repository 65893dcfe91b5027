-- title: Odds of the causes, from the prior and all sessions
-- grain: one row per cause and size class
-- source: drift_causes, drift_components, session_likelihoods
-- missing: none
-- Empirical Bayes by expectation and maximisation: a cause's share is (its prior count + the expected number of sessions with it)
-- over (all prior counts + all sessions), until no share moves by 1e-4; causes on a corner count corner sessions, causes on the
-- car count car sessions (Dempster, Laird and Rubin 1977; with the prior as pseudo-counts it is the mode under a Dirichlet prior).
-- Of more than 10,000 car sessions a sample of about that many, by a hash of their names, gives the shares to begin with.
-- column cause VARCHAR: see drift_causes
-- column size INTEGER: size class; 1 where there is one only
-- column level VARCHAR: corner car
-- column place INTEGER: place within the level in lists of likelihoods
-- column prior_share DOUBLE: before the data
-- column share DOUBLE: after
-- column expected_count DOUBLE: expected number of sessions with it
-- column session_count DOUBLE: corner sessions, or car sessions
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
sampled as materialized (
    select *
    from session_likelihoods
    where hash(vehicle, visit) % ((select visit_count from counts) // 10000 + 1) = 0
),
steps as (
    select 0 as step, level, place, prior_share as share, cast(0 as double) as expected, visit_count <= 10000 as is_whole, false as settled
    from categories
    cross join counts
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
            select * from asked cross join sampled where not is_whole
            union all
            select * from asked cross join session_likelihoods where is_whole
        ),
        weighed as (
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
        alone as (
            select
                unnest(range(1, len(corner_shares) + 1)) as place,
                unnest(left_alone) as left_alone,
                unnest(right_alone) as right_alone,
                none_weight / left_sum / total as left_part,
                none_weight / right_sum / total as right_part
            from weighed
        ),
        held as (
            select
                unnest(range(2, len(car_shares) + 1)) as place,
                unnest(both_held) as likelihood,
                corner_shares[1] * beside / total as part
            from weighed
        ),
        slips as (
            select
                unnest(range(len(slip_shares))) as slip_place,
                unnest(left_slips) as left_slip,
                unnest(right_slips) as right_slip,
                beside / total as part
            from weighed
        ),
        alone_sums as (
            select place, grid_sum(coalesce(left_alone * left_part, 0) + coalesce(right_alone * right_part, 0)) as part from alone group by place
        ),
        held_sums as (
            select place, grid_sum(likelihood * part) as part from held group by place
        ),
        slip_sums as (
            select slip_place, grid_sum((coalesce(left_slip, 0) + coalesce(right_slip, 0)) * part) as part from slips group by slip_place
        ),
        totals as (
            select
                grid_sum(none_weight / total) as none_count,
                -- Fronts that held under a cause on the car.
                grid_sum((front_count * held_weight + (front_count - 1) * slip_weight) / total) as held_count,
                count(*) as visit_count,
                sum(front_count) as front_count
            from weighed
        ),
        expected as (
            select 'corner' as level, place, part * corner_shares[place] as expected from alone_sums cross join asked
            union all
            select 'corner' as level, 1 as place, held_count as expected from totals
            union all
            select 'corner' as level, slip_place % 6 + 2 as place, part * slip_shares[slip_place + 1] as expected from slip_sums cross join asked
            union all
            select 'car' as level, 1 as place, none_count as expected from totals
            union all
            select 'car' as level, place, part * car_shares[place] as expected from held_sums cross join asked
            union all
            select 'car' as level, slip_place // 6 + 2 as place, part * slip_shares[slip_place + 1] as expected from slip_sums cross join asked
        ),
        summed as (
            select level, place, exact_sum(expected) as expected from expected group by level, place
        ),
        updated as (
            select
                state.*,
                summed.expected as new_expected,
                (pseudo_count + summed.expected)
                    / (prior_count + case state.level when 'car' then visit_count else front_count end) as new_share
            from state
            inner join categories on categories.level = state.level and categories.place = state.place
            cross join totals
            inner join summed on summed.level = state.level and summed.place = state.place
        )
        select
            step + 1 as step,
            level,
            place,
            new_share as share,
            new_expected as expected,
            is_whole,
            max(abs(new_share - share)) over () < 1e-4 as settled
        from updated
    )
)
select
    cause,
    size,
    steps.level,
    steps.place,
    prior_share,
    share,
    expected as expected_count,
    cast(case steps.level when 'car' then visit_count else front_count end as double) as session_count
from steps
inner join categories on categories.level = steps.level and categories.place = steps.place
cross join counts
qualify step = max(step) over ()
