-- Arithmetic mean in the unit of x from whole millionths, rounded once; NULLs are left out.
create or replace temp macro exact_mean(x) as cast(sum(micro(x)) as double) / count(x) / 1e6;
-- Sum of whole millionths less one of its terms, x; that is the exact sum of the others. DOUBLE.
create or replace temp macro sum_of_others(total, x) as cast(total - coalesce(micro(x), 0) as double);
