-- title: Odds of the causes, from the prior and the sessions
-- grain: one row per cause and size class
-- source: drift_causes, session_changes
-- missing: none
-- computed by: src/stats/tables
-- given whole: drift_causes
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
with
fronts as (
    select vehicle, visit, phase, corner, none, alone, both_held, slips
    from session_changes
    where none is not null and disturbance = 'session'
),
counts as (
    select
        count(distinct (vehicle, visit, phase)) as visit_count,
        count(*) as all_front_count,
        case when visit_count > 65536 then cast(power(2, ceil(log2(visit_count / 65536))) as ubigint)
            else 1 end as one_in
    from fronts
)
select
    vehicle,
    visit,
    phase,
    none,
    alone,
    both_held,
    slips,
    hash(vehicle, visit) % (8 * one_in) = 0 as is_first,
    visit_count,
    all_front_count
from fronts
cross join counts
where hash(vehicle, visit) % one_in = 0
order by vehicle, visit, phase, corner
