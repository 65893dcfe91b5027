-- Sums of doubles on a grid of 1e-9, or 1e-12: the same for any order of the rows, and cheaper than exact_sum. For terms under 9e9,
-- or 9e6.
create or replace temp macro grid_sum(x) as cast(sum(cast(x * 1e9 as bigint)) as double) / 1e9;
create or replace temp macro fine_sum(x) as cast(sum(cast(x * 1e12 as bigint)) as double) / 1e12;
