-- Sum of squares about the mean of a list, and sum of products about both means.
create or replace temp macro squares_about_mean(y) as list_var_pop(y) * len(y);
create or replace temp macro cross_products(x, y) as list_inner_product(x, y) - list_avg(x) * list_sum(y);
-- The best single step in y: struct of last (values before it), square (sum of squares about the two means), step (second mean less
-- the first); each side keeps at least `shortest` values.
create or replace temp macro step_after(y, k) as {
    'last': k,
    'square': squares_about_mean(y[1:k]) + squares_about_mean(y[k + 1:]),
    'step': list_avg(y[k + 1:]) - list_avg(y[1:k])
};
create or replace temp macro best_step(y, shortest) as step_after(y, cast(best_step_last(y, shortest) as bigint));
-- Sum of squares under which a line, or the best of so many steps, refutes that n points hold the level about whose mean `square` is
-- left: F test of 2.5 %, by Bonferroni for the places of a step.
create or replace temp macro refuting_square(n, square, tried) as
    square / (1 + power(t_quantile(1 - 0.0125 / tried, n - 2), 2) / (n - 2));
-- Bayesian information criterion of a normal model with `parameters` free numbers, its variance among them.
create or replace temp macro information_criterion(n, square, parameters) as
    n * (ln(2 * pi()) + 1 + ln(greatest(square, 1e-12) / n)) + parameters * ln(n);
