-- Logarithm of the normal density with mean 0 at x; x and sqrt(var) in one unit.
create or replace temp macro log_normal(x, var) as -(ln(2 * pi() * var) + x * x / var) / 2;
-- Log density of a residual (deg) that is normal with variance var or, half the time, grossly off: Cauchy with scale 0.4 deg, for
-- slips of some tenths as for mistyped whole degrees. With it no single wrong number decides between explanations of a record.
create or replace temp macro log_gross(x, var) as
    ln(exp(-x * x / var / 2) / sqrt(2 * pi() * var) + 1 / (pi() * 0.4 * (1 + x * x / 0.16))) - ln(2);
-- The two mixed: sums over the angles of one comparison, which is grossly wrong once in ten times. Sums of log_gross are hardly
-- smaller than those of log_normal, so nothing overflows.
create or replace temp macro log_mixed(good, gross) as gross + ln(0.1 + 0.9 * exp(good - gross));
-- The same for a single angle.
create or replace temp macro log_mixed_normal(x, var) as log_mixed(log_normal(x, var), log_gross(x, var));
