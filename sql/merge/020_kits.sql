select distinct
    chassis,
    mark_pitch_mm
from shared
where kind = 'pitch'
