-- Sum of doubles in fixed point with 20 decimals: the same for any order of the rows. For terms of magnitude under 1e12.
create or replace temp macro exact_sum(x) as cast(sum(cast(x as decimal(38, 20))) as double);
