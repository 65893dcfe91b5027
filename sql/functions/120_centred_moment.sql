-- Sum of (x - mean x)(y - mean y) from exact sums: (n*Sxy - Sx*Sy)/n in 128-bit integers, rounded once (DOUBLE).
-- sum_x and sum_y are sums of micro(), sum_xy is a moment(), count the number of rows.
create or replace temp macro centred_moment(count, sum_xy, sum_x, sum_y) as
    cast(count * sum_xy - sum_x * sum_y as double) / count / 1e12;
