-- normal_quantile(0.975), a call of which costs more than a small query.
create or replace temp macro z_975() as 1.9599639845400538e0;
-- 95 % interval of a share from successes and trials, which need not be whole (an effective number). NULL without trials.
-- Score interval of Wilson (1927), as in Newcombe (1998), Statistics in Medicine 17, 857-872, method 3.
create or replace temp macro wilson_low(successes, trials) as
    case when trials > 0 then greatest(
        (
            successes + power(z_975(), 2) / 2
            - z_975() * sqrt(
                greatest(successes * (trials - successes) / trials, 0) + power(z_975(), 2) / 4
            )
        ) / (trials + power(z_975(), 2)),
        0
    ) end;
create or replace temp macro wilson_high(successes, trials) as
    case when trials > 0 then 1 - wilson_low(trials - successes, trials) end;
-- Exact interval of Clopper and Pearson (1934), method 5 of the same paper.
create or replace temp macro clopper_pearson_low(successes, trials) as
    case when trials > 0
        then case when successes > 0 then beta_quantile(0.025, successes, trials - successes + 1)
        else cast(0 as double) end end;
create or replace temp macro clopper_pearson_high(successes, trials) as
    case when trials > 0 then 1 - clopper_pearson_low(trials - successes, trials) end;
-- P(at least `successes` of `trials`) when each has probability 1/2.
create or replace temp macro p_at_least_by_halves(successes, trials) as
    case when trials > 0
        then case when successes > 0 then beta_cdf(0.5, successes, trials - successes + 1)
        else cast(1 as double) end end;
-- Limits of a p chart for a share in `trials` about `centre`: three standard deviations, within 0..1 (NIST/SEMATECH e-Handbook 6.3.3.2).
create or replace temp macro p_chart_low(centre, trials) as
    greatest(centre - 3 * sqrt(centre * (1 - centre) / trials), 0);
create or replace temp macro p_chart_high(centre, trials) as
    least(centre + 3 * sqrt(centre * (1 - centre) / trials), 1);
