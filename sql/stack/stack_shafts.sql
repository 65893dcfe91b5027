-- title: Shafts with the boxes that may serve them
-- grain: one row per kit of the hardware table and shaft
-- source: hardware, shafts
-- missing: blanks are filled in as the contract says
-- column kit VARCHAR: kit whose box it is
-- column shaft VARCHAR: shaft
-- column seat_diameter_mm DOUBLE [mm]: diameter of the seat
-- column shoulder_nm BIGINT [nm]: seat face to the step where the thread begins
-- column shoulder_tol_nm BIGINT [nm]: half width of its tolerance
-- column thread_nm BIGINT [nm]: length of thread above the step
-- column thread_tol_nm BIGINT [nm]: half width of its tolerance
-- column pitch_nm BIGINT [nm]: pitch of the thread
-- column has_bearings BOOLEAN: the box has bearings; without any, the bearing sits in the spring plate
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
cross join (select kit, bool_or(role = 'bearing') as has_bearings from hardware group by kit)
