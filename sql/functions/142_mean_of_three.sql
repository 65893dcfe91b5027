-- How many of three values are known.
create or replace temp macro known_of_three(a, b, c) as
    cast(a is not null as integer) + cast(b is not null as integer) + cast(c is not null as integer);
-- Arithmetic mean of those of three values that are known, from whole millionths; NULL of none.
create or replace temp macro mean_of_three(a, b, c) as
    (coalesce(round(a * 1e6), 0) + coalesce(round(b * 1e6), 0) + coalesce(round(c * 1e6), 0))
        / nullif(known_of_three(a, b, c), 0) / 1e6;
