-- Capability of a process with mean and sd between two limits (NIST/SEMATECH e-Handbook 6.1.6).
create or replace temp macro capability_cp(sd, low, high) as (high - low) / nullif(6 * sd, 0);
create or replace temp macro capability_cpk(mean, sd, low, high) as least(high - mean, mean - low) / nullif(3 * sd, 0);
-- 95 % limits of Cp from `df` degrees of freedom of the sd, by chi-square; p = 0.025 or 0.975.
create or replace temp macro cp_limit(cp, df, p) as cp * sqrt(chi2_quantile(p, df) / df);
-- 95 % limits of Cpk from a mean of `count` values and a sd of `df` degrees of freedom, normal approximation of Bissell (1990), Applied
-- Statistics 39, 331-340.
create or replace temp macro cpk_limit(cpk, count, df, p) as
    cpk + normal_quantile(p) * sqrt(1 / (9.0 * count) + cpk * cpk / (2.0 * df));
-- Limit of a standard deviation that is what is left of `sd` (df degrees of freedom, by chi-square) after a known one is taken away.
create or replace temp macro sd_left(sd, known_sd) as
    sqrt(case when sd > known_sd then sd * sd - known_sd * known_sd when sd is not null then 0 end);
create or replace temp macro sd_left_limit(sd, known_sd, df, p) as
    sd_left(sd * sqrt(df / chi2_quantile(1 - p, df)), known_sd);
