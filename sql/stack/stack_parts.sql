-- title: Parts of the boxes and the shafts that their bores take
-- grain: one row per part of the hardware table and shaft
-- source: hardware, shafts
-- missing: blanks are filled in as the contract says; a blank bore takes any shaft; drop_nm stays NULL where it was not measured
-- column kit VARCHAR: kit whose box it is
-- column shaft VARCHAR: shaft
-- column part VARCHAR: part
-- column role VARCHAR: place in the stack
-- column step INTEGER: order of the roles from the seat upward; NULL for spacers
-- column height_nm BIGINT [nm]: length between seat and nut face, of a nut its own height
-- column tol_nm BIGINT [nm]: half width of its tolerance
-- column drop_nm BIGINT [nm]: how far the mount hangs below the lower face of the bearing under load
-- column part_count INTEGER: pieces in the box
-- column required BOOLEAN: must be used
-- column fits_diameter_mm DOUBLE [mm]: shaft diameter that the bore takes; NULL = any
-- column fits BOOLEAN: the bore takes the seat of the shaft, to 0.1 mm
-- column source_file VARCHAR: file of the part
-- column source_line INTEGER: line of the part
select
    kit,
    shaft,
    part,
    role,
    list_position(stack_roles(), role) as step,
    cast(micro(height_mm) as bigint) as height_nm,
    cast(micro(coalesce(height_tol_mm, 0.1)) as bigint) as tol_nm,
    cast(micro(drop_mm) as bigint) as drop_nm,
    coalesce(hardware.count, 1) as part_count,
    coalesce(required, 'no') = 'yes' as required,
    fits_diameter_mm,
    coalesce(abs(fits_diameter_mm - seat_diameter_mm) <= 0.1 + 1e-9, true) as fits,
    hardware.source_file,
    hardware.source_line
from hardware
cross join shafts
