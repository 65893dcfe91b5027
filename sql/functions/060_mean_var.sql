-- Variance of the mean of `n` repeats of one state: of one reading, less what all repeats have in common, which averaging leaves.
create or replace temp macro mean_var(one_var, shared_var, n) as shared_var + (one_var - shared_var) / n;
