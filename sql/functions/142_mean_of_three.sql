-- exact_mean of three columns: arithmetic mean from whole millionths, NULLs left out.
create or replace temp macro mean_of_three(a, b, c) as
    (coalesce(round(a * 1e6), 0) + coalesce(round(b * 1e6), 0) + coalesce(round(c * 1e6), 0))
        / nullif(
            cast(a is not null as integer) + cast(b is not null as integer) + cast(c is not null as integer), 0
        ) / 1e6;
