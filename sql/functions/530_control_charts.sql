-- Half width of the limits of the n-th exponentially weighted moving average (ewma of src/stats), in standard deviations of a value, for
-- limits of `wide` standard deviations (NIST/SEMATECH e-Handbook 6.3.2.4).
create or replace temp macro ewma_reach(share, wide, n) as wide
    * sqrt(share / (2 - share) * (1 - power(1 - share, 2 * n)));
-- Limits of the three charts of a track, in standard deviations: individuals, moving average with share 0.25, CUSUM with slack 0.5.
-- Together they signal at most one point in 200 where nothing happens, however long the track, with centre and standard deviation
-- known or from its own 8 points or more (by simulation of normal values; tests/model/controlCharts.test.ts). With 3, 3 and 4, each in
-- use alone, it would be one in 50.
create or replace temp macro chart_limits() as {'point': 3.3, 'ewma': 3.3, 'cusum': 5.7};
-- Which of them signals, the first; NULL = none. `off` and `average_off`: deviations of the point and of its moving average, the n-th, from
-- the centre; `sum`: the larger CUSUM.
create or replace temp macro chart_signal(off, average_off, sum, sd, n) as
    case
        when abs(off) > (chart_limits()).point * sd then 'point'
        when abs(average_off) > sd * ewma_reach(0.25, (chart_limits()).ewma, n) then 'ewma'
        when sum > (chart_limits()).cusum then 'cusum'
    end;
