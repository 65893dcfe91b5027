-- Shafts with the boxes that may serve them: one row per kit of the hardware table and shaft, blanks filled in as the contract says, *_nm:
-- lengths and half widths of their tolerances. has_bearings: without any in the box, the bearing sits in the spring plate.
create or replace temp macro stack_shafts() as table
select
    kit,
    shaft,
    seat_diameter_mm,
    cast(micro(shoulder_length_mm) as bigint) as shoulder_nm,
    cast(micro(coalesce(shoulder_tol_mm, 0.1)) as bigint) as shoulder_tol_nm,
    cast(micro(thread_length_mm) as bigint) as thread_nm,
    cast(micro(coalesce(thread_tol_mm, 0.1)) as bigint) as thread_tol_nm,
    cast(micro(coalesce(thread_pitch_mm, 1.5)) as bigint) as pitch_nm,
    has_bearings
from shafts
cross join (select kit, bool_or(role = 'bearing') as has_bearings from hardware group by kit);
