-- Exact sum of x*y over a group, in the units of x times the units of y, as millionths squared (HUGEINT). Rows with a NULL are left out.
create or replace temp macro moment(x, y) as sum(micro(x) * micro(y));
