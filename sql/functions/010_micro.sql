-- A decimal number as a whole number of millionths: sums and products of these are exact, so results depend on no order.
create or replace temp macro micro(x) as cast(round(x * 1e6) as hugeint);
