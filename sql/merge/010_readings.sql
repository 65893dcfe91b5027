select distinct chassis
from shared
where kind in ('chassis', 'move', 'state')
