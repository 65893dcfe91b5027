-- Sum of w*x*y over a group from whole millionths, rounded once (DOUBLE): the same for any order of the rows.
create or replace temp macro weighted_moment(w, x, y) as
    cast(sum(micro(w) * micro(x) * micro(y)) as double) / 1e18;
