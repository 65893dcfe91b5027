-- Control charts over a list of values in time order (NIST/SEMATECH e-Handbook 6.3.2).
-- Standard deviation from the mean moving range of two, 1.128 = d2(2) (6.3.2.2).
create or replace temp macro moving_range_sd(x) as list_avg([abs(x[i] - x[i - 1]) for i in range(2, len(x) + 1)]) / 1.128;
-- Exponentially weighted moving averages after each value: share * value + (1 - share) * the one before (6.3.2.4).
create or replace temp macro ewma(x, share, start) as
    list_reduce(
        list_prepend([cast(start as double)], [[cast(value as double)] for value in x]),
        lambda z, value: list_append(z, share * value[1] + (1 - share) * z[-1])
    )[2:];
-- Half width of the limits of the n-th such average, in standard deviations of a value, for limits of `wide` standard deviations.
create or replace temp macro ewma_reach(share, wide, n) as wide * sqrt(share / (2 - share) * (1 - power(1 - share, 2 * n)));
-- Sums of how far values lie over centre + slack (side 1) or under centre - slack (side -1), started anew at 0 (6.3.2.3).
create or replace temp macro cusum(x, centre, slack, side) as
    list_reduce(
        list_prepend([cast(0 as double)], [[cast(value as double)] for value in x]),
        lambda s, value: list_append(s, greatest(s[-1] + side * (value[1] - centre) - slack, 0))
    )[2:];
