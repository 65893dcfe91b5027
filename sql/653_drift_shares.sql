-- title: Shares of the causes that probabilities are worked out with
-- grain: one row per cause and size class
-- source: drift_odds
-- missing: none
-- On a grid, so that a sliver of new data leaves them, and with them all probabilities, as they were: shares of causes at most 9 %
-- off, those of nothing having happened at most 0.6 %; then brought to a sum of 1 within the level.
-- column cause VARCHAR: see drift_causes
-- column size INTEGER: size class; 1 where there is one only
-- column level VARCHAR: corner car
-- column place INTEGER: place within the level in lists of likelihoods
-- column share DOUBLE: share of corner sessions, or car sessions
with
rounded as (
    select *, octave_grid(share, case when cause in ('held', 'none') then 64 else 4 end) as rounded_share from drift_odds
),
sums as (
    select level, exact_sum(rounded_share) as sum_of_shares from rounded group by level
)
select
    cause,
    size,
    level,
    place,
    rounded_share / sum_of_shares as share
from rounded
inner join sums using (level)
