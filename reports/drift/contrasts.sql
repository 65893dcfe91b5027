-- Pairs of levels compared, once where they are the same corner sessions by several factors.
select
    contrasts.factor,
    these.name,
    others.name as other_name,
    rate_ratio,
    ratio_low,
    ratio_high,
    p_value,
    p_adjusted_fdr
from slip_contrasts() as contrasts
inner join slip_groups() as these on these.factor = contrasts.factor and these.level = contrasts.level
inner join slip_groups() as others on others.factor = contrasts.factor and others.level = other_level
qualify row_number() over (
    partition by least(these.group_place, others.group_place), greatest(these.group_place, others.group_place)
    order by these.place, others.place
) = 1
order by these.place, others.place
