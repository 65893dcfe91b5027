select vehicle, corner, cast(newest_first as varchar) as visit, 'before' as phase, 1 as scale, end_1_out as beyond_out, end_1_aft as beyond_aft
from shared
where kind = 'state' and end_1_out is not null
union all
select vehicle, corner, cast(newest_first as varchar) as visit, 'before' as phase, 2 as scale, end_2_out as beyond_out, end_2_aft as beyond_aft
from shared
where kind = 'state' and end_2_out is not null
