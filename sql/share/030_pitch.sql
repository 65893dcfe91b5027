-- Travel of one mark of the kits.
select distinct
    chassis,
    mark_pitch_mm
from kits
