select distinct
    chassis,
    mark_pitch_mm
from kits
