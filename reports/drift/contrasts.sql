-- Pairs of levels compared.
select
    factor,
    replace(case factor when 'plate_index' then 'index ' || level else level end, '_', ' ') as name,
    replace(case factor when 'plate_index' then 'index ' || other_level else other_level end, '_', ' ') as other_name,
    rate_ratio,
    ratio_low,
    ratio_high,
    p_value,
    p_adjusted_fdr
from slip_contrasts
order by list_position(['surface', 'kit', 'bearing', 'plate_index'], factor), level, other_level
