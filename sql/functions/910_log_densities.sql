-- Logarithm of the normal density with mean 0 at x; x and sqrt(var) in one unit.
create or replace temp macro log_normal(x, var) as -(ln(2 * pi() * var) + x * x / var) / 2;
