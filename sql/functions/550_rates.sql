-- 95 % limits of a rate per unit of exposure from a number of events, by the gamma distribution (Garwood 1936); the number need not
-- be whole.
create or replace temp macro rate_low(events, exposure) as
    case when exposure > 0
        then case when events > 0 then chi2_quantile(0.025, 2 * events) / 2 / exposure else cast(0 as double) end end;
create or replace temp macro rate_high(events, exposure) as
    case when exposure > 0 then chi2_quantile(0.975, 2 * events + 2) / 2 / exposure end;
-- P values adjusted for their number (lists in, lists of the same order out): Benjamini and Hochberg (1995), false discovery rate;
-- Holm (1979), family-wise error.
create or replace temp macro adjusted_bh(p) as (
    select list(adjusted order by place)
    from (
        select place, min(least(1, value * len(p) / at_most)) over (order by value desc) as adjusted
        from (
            select *, count(*) over (order by value) as at_most
            from (select unnest(p) as value, unnest(range(len(p))) as place)
        )
    )
);
create or replace temp macro adjusted_holm(p) as (
    select list(adjusted order by place)
    from (
        select place, max(least(1, value * at_least)) over (order by value) as adjusted
        from (
            select *, count(*) over (order by value desc) as at_least
            from (select unnest(p) as value, unnest(range(len(p))) as place)
        )
    )
);
