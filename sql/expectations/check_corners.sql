-- title: States of a corner within a visit, as the checks compare them
-- grain: one row per vehicle, corner and visit
-- source: states, chassis_casters, check_noise
-- missing: NULL where there is no such state, it lacks the angle, or the offset is not known
-- column chassis VARCHAR: platform code; that of the last state where they differ
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR RL RR
-- column visit VARCHAR: visit
-- column before_kit VARCHAR: NULL = original mount, `before`
-- column before_plate_index INTEGER: bolt position; NULL where not known, `before`
-- column before_plate_hand VARCHAR: left right; NULL without a kit, `before`
-- column before_mark_1 DOUBLE [marks]: pointer on the first scale, `before`
-- column before_mark_2 DOUBLE [marks]: pointer on the second scale, `before`
-- column before_out_mm DOUBLE [mm]: bearing centre outboard of the original mount's; 0 on the rear, `before`
-- column before_aft_mm DOUBLE [mm]: bearing centre rearward of the original mount's; 0 on the rear, `before`
-- column before_error_oo_mm2 DOUBLE [mm2]: variance of the place from reading the pointer, outboard, `before`
-- column before_error_oa_mm2 DOUBLE [mm2]: its covariance, `before`
-- column before_error_aa_mm2 DOUBLE [mm2]: its variance rearward, `before`
-- column before_camber_deg DOUBLE [deg]: camber at zero toe; as read where toe was not, `before`
-- column before_camber_read_deg DOUBLE [deg]: camber as read, `before`
-- column before_caster_deg DOUBLE [deg]: caster, `before`
-- column before_sai_deg DOUBLE [deg]: SAI, `before`
-- column before_camber_var_deg2 DOUBLE [deg2]: variance of camber from reading, `before`
-- column before_caster_var_deg2 DOUBLE [deg2]: variance of caster from reading, `before`
-- column before_sai_var_deg2 DOUBLE [deg2]: variance of SAI from reading, `before`
-- column before_source_file VARCHAR: file of the reading, `before`
-- column before_source_line INTEGER: physical line in that file, `before`
-- column moved_kit VARCHAR: NULL = original mount, `moved`
-- column moved_plate_index INTEGER: bolt position; NULL where not known, `moved`
-- column moved_plate_hand VARCHAR: left right; NULL without a kit, `moved`
-- column moved_mark_1 DOUBLE [marks]: pointer on the first scale, `moved`
-- column moved_mark_2 DOUBLE [marks]: pointer on the second scale, `moved`
-- column moved_out_mm DOUBLE [mm]: bearing centre outboard of the original mount's; 0 on the rear, `moved`
-- column moved_aft_mm DOUBLE [mm]: bearing centre rearward of the original mount's; 0 on the rear, `moved`
-- column moved_error_oo_mm2 DOUBLE [mm2]: variance of the place from reading the pointer, outboard, `moved`
-- column moved_error_oa_mm2 DOUBLE [mm2]: its covariance, `moved`
-- column moved_error_aa_mm2 DOUBLE [mm2]: its variance rearward, `moved`
-- column moved_camber_deg DOUBLE [deg]: camber at zero toe; as read where toe was not, `moved`
-- column moved_camber_read_deg DOUBLE [deg]: camber as read, `moved`
-- column moved_caster_deg DOUBLE [deg]: caster, `moved`
-- column moved_sai_deg DOUBLE [deg]: SAI, `moved`
-- column moved_camber_var_deg2 DOUBLE [deg2]: variance of camber from reading, `moved`
-- column moved_caster_var_deg2 DOUBLE [deg2]: variance of caster from reading, `moved`
-- column moved_sai_var_deg2 DOUBLE [deg2]: variance of SAI from reading, `moved`
-- column moved_source_file VARCHAR: file of the reading, `moved`
-- column moved_source_line INTEGER: physical line in that file, `moved`
-- column after_kit VARCHAR: NULL = original mount, `after`
-- column after_plate_index INTEGER: bolt position; NULL where not known, `after`
-- column after_plate_hand VARCHAR: left right; NULL without a kit, `after`
-- column after_mark_1 DOUBLE [marks]: pointer on the first scale, `after`
-- column after_mark_2 DOUBLE [marks]: pointer on the second scale, `after`
-- column after_out_mm DOUBLE [mm]: bearing centre outboard of the original mount's; 0 on the rear, `after`
-- column after_aft_mm DOUBLE [mm]: bearing centre rearward of the original mount's; 0 on the rear, `after`
-- column after_error_oo_mm2 DOUBLE [mm2]: variance of the place from reading the pointer, outboard, `after`
-- column after_error_oa_mm2 DOUBLE [mm2]: its covariance, `after`
-- column after_error_aa_mm2 DOUBLE [mm2]: its variance rearward, `after`
-- column after_camber_deg DOUBLE [deg]: camber at zero toe; as read where toe was not, `after`
-- column after_camber_read_deg DOUBLE [deg]: camber as read, `after`
-- column after_caster_deg DOUBLE [deg]: caster, `after`
-- column after_sai_deg DOUBLE [deg]: SAI, `after`
-- column after_camber_var_deg2 DOUBLE [deg2]: variance of camber from reading, `after`
-- column after_caster_var_deg2 DOUBLE [deg2]: variance of caster from reading, `after`
-- column after_sai_var_deg2 DOUBLE [deg2]: variance of SAI from reading, `after`
-- column after_source_file VARCHAR: file of the reading, `after`
-- column after_source_line INTEGER: physical line in that file, `after`
with
angles as not materialized (
    select
        states.chassis,
        vehicle,
        corner,
        visit,
        phase,
        kit,
        plate_index,
        plate_hand,
        mark_1,
        mark_2,
        case when corner in ('FL', 'FR') then offset_out_mm else 0 end as out_mm,
        case when corner in ('FL', 'FR') then offset_aft_mm else 0 end as aft_mm,
        read_error_oo_mm2 as error_oo_mm2,
        read_error_oa_mm2 as error_oa_mm2,
        read_error_aa_mm2 as error_aa_mm2,
        -- A wheel that toes in by 1 deg about an axis with caster t loses tan(t) deg of camber; a rear wheel has no
        -- such axis.
        states.camber_deg + case
            when corner in ('FL', 'FR')
            then coalesce(tan_deg(coalesce(states.caster_deg, chassis_casters.caster_deg)) * toe_deg, 0)
            else 0
        end as camber_deg,
        states.camber_deg as camber_read_deg,
        states.caster_deg,
        sai_deg,
        camber_sd_deg * camber_sd_deg / nullif(camber_count, 0) as camber_var_deg2,
        caster_sd_deg * caster_sd_deg / nullif(caster_count, 0) as caster_var_deg2,
        sai_sd_deg * sai_sd_deg / nullif(sai_count, 0) as sai_var_deg2,
        source_file,
        source_line
    from states
    left join chassis_casters using (chassis)
    inner join check_noise on check_noise.chassis = states.chassis
        and check_noise.gauge is not distinct from states.gauge
),
befores as (
    select chassis, vehicle, corner, visit, columns('^kit$|_(mm|deg)2?$|^(plate|mark|source)_') as "before_\0"
    from angles
    where phase = 'before'
),
moveds as (
    select chassis, vehicle, corner, visit, columns('^kit$|_(mm|deg)2?$|^(plate|mark|source)_') as "moved_\0"
    from angles
    where phase = 'moved'
),
afters as (
    select chassis, vehicle, corner, visit, columns('^kit$|_(mm|deg)2?$|^(plate|mark|source)_') as "after_\0"
    from angles
    where phase = 'after'
)
select
    coalesce(afters.chassis, moveds.chassis, befores.chassis) as chassis,
    vehicle,
    corner,
    visit,
    columns('^(before|moved|after)_')
from befores
full join moveds using (vehicle, corner, visit)
full join afters using (vehicle, corner, visit)
