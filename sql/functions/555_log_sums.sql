-- ln(exp(a) + exp(b)) without overflow.
create or replace temp macro log_add(a, b) as greatest(a, b) + ln(1 + exp(-abs(a - b)));
-- ln of the sum of the exponentials of a list, NULLs left out. Fast where the list is a column, not an expression.
create or replace temp macro log_sum(terms) as list_max(terms) + ln(list_sum([exp(term - list_max(terms)) for term in terms]));
-- ln(cosh(x)) without overflow.
create or replace temp macro log_cosh(x) as abs(x) + ln((1 + exp(-2 * abs(x))) / 2);
