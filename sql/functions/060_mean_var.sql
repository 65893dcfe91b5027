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
-- Walk of a gauge: rate [deg a week] and its variance, middle and length [weeks] of the time that told of it; NULL where it does not walk.
create or replace temp macro walk_of(rate, rate_var, middle_weeks, weeks) as
    case when rate * rate + rate_var > 0 then [rate, rate_var, middle_weeks, weeks] end;
create or replace temp macro weeks_of(ts) as epoch(date_trunc('day', ts)) / 604800;
-- Weeks from the middle of a walk on, no farther than it is long, for days mistyped by years; NULL without walk or day. What was walked.
create or replace temp macro weeks_into(walk, at_weeks) as
    (at_weeks - walk[3]) * least(1, walk[4] / abs(at_weeks - walk[3]));
create or replace temp macro walked(walk, at_weeks) as coalesce(walk[1] * weeks_into(walk, at_weeks), 0);
-- The variance of a bias of no day holds that of a uniform over what is walked.
create or replace temp macro bias_var_then(bias_var, walk, ts) as bias_var + coalesce(
    walk[2] * power(weeks_into(walk, weeks_of(ts)), 2) - (walk[1] * walk[1] + walk[2]) * walk[4] * walk[4] / 12, 0);
