-- Half width of the limits of the n-th exponentially weighted moving average (ewma of src/stats), in standard deviations of a value, for
-- limits of `wide` standard deviations (NIST/SEMATECH e-Handbook 6.3.2.4).
create or replace temp macro ewma_reach(share, wide, n) as
    wide * sqrt(share / (2 - share) * (1 - power(1 - share, 2 * n)));
