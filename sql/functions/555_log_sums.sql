-- ln(exp(a) + exp(b)) without overflow.
create or replace temp macro log_add(a, b) as greatest(a, b) + ln(1 + exp(-abs(a - b)));
