-- Parts of the boxes and the shafts that their bores take: one row per part of the hardware table and shaft, blanks filled in as the
-- contract says. step: order of the roles from the seat upward, NULL for spacers; *_nm: length between seat and nut face (of a nut its own
-- height), half width of its tolerance, how far the mount hangs below the lower face of the bearing under load (NULL where it was not
-- measured); part_count: pieces in the box; fits: the bore takes the seat of the shaft, to 0.1 mm, a blank bore any.
create or replace temp macro stack_parts() as table
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
cross join shafts;
