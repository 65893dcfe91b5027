-- Arithmetic mean in the unit of x from whole millionths, rounded once; NULLs are left out.
create or replace temp macro exact_mean(x) as cast(sum(micro(x)) as double) / count(x) / 1e6;
