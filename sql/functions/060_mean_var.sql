-- Variance of the mean of `n` repeats of one state: of one reading, less what all repeats have in common, which averaging leaves. So is
-- that of a difference within a visit by one reader: bias and the set-up of one mounting cancel.
create or replace temp macro mean_var(one_var, shared_var, n) as shared_var + (one_var - shared_var) / n;
-- Variance of the true angle about that mean less the bias: repeats shrink the repeat part only.
create or replace temp macro true_var(one_var, shared_var, n, set_up_var, bias_var) as
    mean_var(one_var, shared_var, n) + set_up_var + bias_var;
-- Variance of the difference of two means in two visits: two set-ups, and the step between two readers, 0 where one read both.
create or replace temp macro across_visits_var(mean_var_1, mean_var_2, set_up_var_1, set_up_var_2, step_var) as
    mean_var_1 + mean_var_2 + set_up_var_1 + set_up_var_2 + step_var;
-- Variance of what `mountings` set-ups of one state add to its mean: clamps and rim average out, floor and rake do not.
create or replace temp macro set_up_over(set_up_var, mounting_var, mountings) as
    set_up_var - mounting_var * (1 - 1 / mountings);
-- Weeks from the middle of a walk to a day, NULL where the gauge does not walk or the day is not known; no farther than the time over
-- which the walk was told, for days mistyped by years. The bias then, and its variance: walk_var is the part of bias_var that stands for
-- any day, a twelfth of the square of what is walked over that time.
create or replace temp macro within_walk(weeks, walk_weeks) as weeks * least(1, walk_weeks / abs(weeks));
create or replace temp macro weeks_since(middle_weeks, walk_var, rate, rate_var, ts) as within_walk(
    epoch(date_trunc('day', ts)) / 604800 - middle_weeks, sqrt(12 * walk_var / (rate * rate + rate_var)));
create or replace temp macro bias_then(bias, rate, weeks) as bias + coalesce(rate * weeks, 0);
create or replace temp macro bias_var_then(bias_var, walk_var, rate_var, weeks) as
    bias_var + coalesce(rate_var * weeks * weeks - walk_var, 0);
