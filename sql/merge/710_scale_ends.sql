-- How far the slots of the newest states reach.
select chassis, vehicle, corner, cast(newest_first as varchar) as visit, 'before' as phase, end_1_out, end_1_aft,
    end_2_out, end_2_aft
from shared
where kind = 'state' and (end_1_out is not null or end_2_out is not null)
