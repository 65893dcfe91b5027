-- Probability that a true value lies between two limits when it was read with standard uncertainty u and nothing else is
-- known of it (JCGM 106:2012, 7.2). A NULL limit is none.
create or replace temp macro p_within(reading, low, high, u) as
    coalesce(normal_cdf((high - reading) / u), 1) - coalesce(normal_cdf((low - reading) / u), 0);
-- Decision rule of ISO 14253-1:2017 for error = reading - wanted and a tolerance to both sides: `guard` standard uncertainties
-- are taken off the band for inside and added to it for outside; in between it is undecided. guard 0: simple acceptance.
create or replace temp macro conformity(error, tolerance, u, guard) as
    case
        when abs(error) <= tolerance - guard * u + 1e-9 then 'inside'
        when abs(error) < tolerance + guard * u then 'undecided'
        else 'outside'
    end;
-- Global consumer's risk (JCGM 106:2012, 9.5): P(read within +- accept, true beyond +- tolerance) for a true error with mean
-- and sd, read with standard uncertainty u; and P(read within +- accept).
create or replace temp macro p_accepted(mean, sd, u, accept) as
    normal_cdf((accept - mean) / sqrt(sd * sd + u * u)) - normal_cdf((-accept - mean) / sqrt(sd * sd + u * u));
create or replace temp macro p_falsely_accepted(mean, sd, u, tolerance, accept) as
    greatest(
        p_accepted(mean, sd, u, accept) - bivariate_normal_rectangle(
            (-tolerance - mean) / sd, (tolerance - mean) / sd,
            (-accept - mean) / sqrt(sd * sd + u * u), (accept - mean) / sqrt(sd * sd + u * u),
            sd / sqrt(sd * sd + u * u)
        ),
        0
    );
-- The same where the reading is also off by a bias with standard deviation bias_sd that all settings of one gauge share, so that it takes no
-- part in their spread.
create or replace temp macro p_biased_accepted(mean, sd, u, bias_sd, tolerance, accept) as
    greatest(
        p_accepted(mean, sd, u, accept) - bivariate_normal_rectangle(
            (-tolerance - mean) / sqrt(sd * sd + bias_sd * bias_sd),
            (tolerance - mean) / sqrt(sd * sd + bias_sd * bias_sd),
            (-accept - mean) / sqrt(sd * sd + u * u), (accept - mean) / sqrt(sd * sd + u * u),
            sd * sd / sqrt((sd * sd + u * u) * (sd * sd + bias_sd * bias_sd))
        ),
        0
    );
-- Change between two visits in its standard deviations when nothing moved: two set-ups and the repeats of both (*_apart); where gauge or
-- person differ both uncertainties count whole. step: of the biases, 0 of one gauge that does not walk.
create or replace temp macro moved_deviate(
    change, step, u_1, u_2, apart_1, apart_2, gauge_1, gauge_2, technician_1, technician_2
) as
    case
        when gauge_1 is not distinct from gauge_2 and technician_1 is not distinct from technician_2
            then abs(change - step) / sqrt(apart_1 * apart_1 + apart_2 * apart_2)
        else abs(change - step) / sqrt(u_1 * u_1 + u_2 * u_2)
    end;
