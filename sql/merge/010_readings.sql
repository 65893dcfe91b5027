-- The platforms of all sites: readings is asked for nothing else.
select distinct chassis
from shared
where kind in ('chassis', 'move', 'state')
