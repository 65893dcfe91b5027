-- What the checks of corners read: the record of each corner in a visit, with how its angles follow the bearing.
create or replace temp macro car_corners() as table
select
    chassis,
    vehicle,
    corner,
    visit,
    columns('^(before|moved|after)_(kit|out_mm|aft_mm|error_.._mm2|source_.+|plate_.+|mark_.|camber_read_deg)$'),
    columns('^(before|moved|after)_(camber|caster|sai)_(var_)?deg2?$'),
    columns('^(camber|caster|sai)_(slope_|var_|cov_|other_)')
from check_corners
inner join check_slopes using (chassis, vehicle);
