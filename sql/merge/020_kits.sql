-- Travel of one mark of the kits of all sites.
select distinct
    chassis,
    mark_pitch_mm
from shared
where kind = 'pitch'
