-- How much likelier, at most, a comparison can get by another explanation of the record that leaves its variances as they are: no less
-- than its log_mixed_normal at 0 less that at x. Where these stay under the log of the prior odds in sum, the record as written is
-- the likelier, whatever the explanations. The second term bounds ln(1 + u), u = 0.05 / 0.95 times the Cauchy over the normal at 0.
create or replace temp macro misfit(x, var) as x * x / var / 2 + 0.11 * sqrt(var);
-- The same for log_mixed_three; here u is 0.1 / 0.9 times the product of 1/2 + sqrt(var).
create or replace temp macro misfit_of_three(x_1, var_1, x_2, var_2, x_3, var_3) as
    coalesce(x_1 * x_1 / var_1, 0) / 2
        + coalesce(x_2 * x_2 / var_2, 0) / 2
        + coalesce(x_3 * x_3 / var_3, 0) / 2
        + (0.5 + coalesce(sqrt(var_1), 0.5)) * (0.5 + coalesce(sqrt(var_2), 0.5)) * (0.5 + coalesce(sqrt(var_3), 0.5))
            / 9;
-- The same where an explanation may also bring the variances down to `least`, which makes a match likelier.
create or replace temp macro placed_misfit_of_three(x_1, var_1, least_1, x_2, var_2, least_2, x_3, var_3, least_3) as
    misfit_of_three(x_1, var_1, x_2, var_2, x_3, var_3)
        + coalesce(ln(var_1 / least_1) + 0 * x_1, 0) / 2
        + coalesce(ln(var_2 / least_2) + 0 * x_2, 0) / 2
        + coalesce(ln(var_3 / least_3) + 0 * x_3, 0) / 2;
-- log_mixed of a comparison of up to three angles, NULL = not compared; 0 where none is.
create or replace temp macro log_mixed_three(x_1, var_1, x_2, var_2, x_3, var_3) as log_mixed(
    coalesce(log_normal(x_1, var_1), 0) + coalesce(log_normal(x_2, var_2), 0) + coalesce(log_normal(x_3, var_3), 0),
    coalesce(log_gross(x_1, var_1), 0) + coalesce(log_gross(x_2, var_2), 0) + coalesce(log_gross(x_3, var_3), 0)
);
-- The same for four angles.
create or replace temp macro log_mixed_four(x_1, var_1, x_2, var_2, x_3, var_3, x_4, var_4) as log_mixed(
    coalesce(log_normal(x_1, var_1), 0) + coalesce(log_normal(x_2, var_2), 0)
        + coalesce(log_normal(x_3, var_3), 0) + coalesce(log_normal(x_4, var_4), 0),
    coalesce(log_gross(x_1, var_1), 0) + coalesce(log_gross(x_2, var_2), 0)
        + coalesce(log_gross(x_3, var_3), 0) + coalesce(log_gross(x_4, var_4), 0)
);
