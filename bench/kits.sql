-- Invented kits of the benchmark's readings: no real part. One scale along the slot, centre 6 mm rearward.
select
    'k' || n as kit,
    3 as index_count,
    120 as index_step_deg,
    0 as axis_deg,
    2 as mark_pitch_mm,
    -10 as mark_min,
    10 as mark_max,
    0 as centre_out_mm,
    6 as centre_aft_mm,
    'solid_spherical' as bearing
from range(40) as kits(n)
