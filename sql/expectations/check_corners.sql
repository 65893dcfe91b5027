-- title: States of a corner within a visit, and its angles at the original bearing place, as the checks compare them
-- grain: one row per vehicle, corner and visit
-- source: states, pointer_errors, chassis_casters, check_noise, check_slopes, check_spreads
-- missing: NULL where there is no such state, it lacks the angle, or the offset is not known; other_deg and other_var_deg2 where no other visit tells
-- Over a session the gauge is mounted anew: the variances of its two states hold half of session_vars each.
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
-- column before_error_oo_mm2 DOUBLE [mm2]: variance of the place about the marks, outboard, `before`
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
-- column moved_error_oo_mm2 DOUBLE [mm2]: variance of the place about the marks, outboard, `moved`
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
-- column after_error_oo_mm2 DOUBLE [mm2]: variance of the place about the marks, outboard, `after`
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
-- column camber_level_deg DOUBLE [deg]: camber at zero toe, mean over the visit's states with a known offset, brought to offset 0
-- column camber_level_var_deg2 DOUBLE [deg2]: its variance from reading
-- column caster_level_deg DOUBLE [deg]: caster, mean over the visit's states with a known offset, brought to offset 0
-- column caster_level_var_deg2 DOUBLE [deg2]: its variance from reading
-- column sai_level_deg DOUBLE [deg]: SAI, mean over the visit's states with a known offset, brought to offset 0
-- column sai_level_var_deg2 DOUBLE [deg2]: its variance from reading
-- column camber_other_deg DOUBLE [deg]: median of the same over the other visits
-- column camber_other_count BIGINT: other visits
-- column camber_other_var_deg2 DOUBLE [deg2]: variance of a level of this visit about it, reading noise of this visit left out
-- column caster_other_deg DOUBLE [deg]: median of the same over the other visits
-- column caster_other_count BIGINT: other visits
-- column caster_other_var_deg2 DOUBLE [deg2]: variance of a level of this visit about it, reading noise of this visit left out
-- column sai_other_deg DOUBLE [deg]: median of the same over the other visits
-- column sai_other_count BIGINT: other visits
-- column sai_other_var_deg2 DOUBLE [deg2]: variance of a level of this visit about it, reading noise of this visit left out
with
angles as (
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
        read_error_oo_mm2 * coalesce(variance_ratio, 1) as error_oo_mm2,
        read_error_oa_mm2 * coalesce(variance_ratio, 1) as error_oa_mm2,
        read_error_aa_mm2 * coalesce(variance_ratio, 1) as error_aa_mm2,
        -- Toe-in of 1 deg about an axis with caster t takes tan(t) deg off the camber; a rear wheel has no such axis.
        states.camber_deg + case
            when corner in ('FL', 'FR')
            then coalesce(tan_deg(coalesce(states.caster_deg, chassis_casters.caster_deg)) * toe_deg, 0)
            else 0 end as camber_deg,
        states.camber_deg as camber_read_deg,
        case when visit_kind = 'session' then 0.5 else 0 end as share,
        states.caster_deg,
        sai_deg,
        camber_sd_deg * camber_sd_deg / nullif(camber_count, 0) + share * camber_session_var_deg2 as camber_var_deg2,
        caster_sd_deg * caster_sd_deg / nullif(caster_count, 0) + share * caster_session_var_deg2 as caster_var_deg2,
        sai_sd_deg * sai_sd_deg / nullif(sai_count, 0) + share * sai_session_var_deg2 as sai_var_deg2,
        source_file,
        source_line,
        camber_slope_out * out_mm + camber_slope_aft * aft_mm as camber_shift,
        caster_slope_out * out_mm + caster_slope_aft * aft_mm as caster_shift,
        sai_slope_out * out_mm + sai_slope_aft * aft_mm as sai_shift
    from states
    left join pointer_errors using (kit)
    left join chassis_casters using (chassis)
    inner join check_noise on check_noise.chassis = states.chassis
        and check_noise.gauge is not distinct from states.gauge
    inner join check_slopes using (chassis, vehicle)
    cross join check_spreads
),
-- At the original bearing place, with the variance where the place is known.
levels as materialized (
    select
        *,
        camber_deg - camber_shift as camber_level,
        caster_deg - caster_shift as caster_level,
        sai_deg - sai_shift as sai_level,
        case when out_mm is not null then camber_var_deg2 end as camber_level_var,
        case when out_mm is not null then caster_var_deg2 end as caster_level_var,
        case when out_mm is not null then sai_var_deg2 end as sai_level_var
    from angles
),
befores as (
    select chassis, vehicle, corner, visit,
        columns('^kit$|_(mm|deg)2?$|^(plate|mark|source)_') as "before_\0",
        columns('_level(_var)?$') as "\0_1"
    from levels
    where phase = 'before'
),
moveds as (
    select chassis, vehicle, corner, visit,
        columns('^kit$|_(mm|deg)2?$|^(plate|mark|source)_') as "moved_\0",
        columns('_level(_var)?$') as "\0_2"
    from levels
    where phase = 'moved'
),
afters as (
    select chassis, vehicle, corner, visit,
        columns('^kit$|_(mm|deg)2?$|^(plate|mark|source)_') as "after_\0",
        columns('_level(_var)?$') as "\0_3"
    from levels
    where phase = 'after'
),
visits as (
    select
        coalesce(afters.chassis, moveds.chassis, befores.chassis) as chassis,
        vehicle,
        corner,
        visit,
        columns('^(before|moved|after)_'),
        mean_of_three(camber_level_1, camber_level_2, camber_level_3) as camber_level_deg,
        mean_of_three(camber_level_var_1, camber_level_var_2, camber_level_var_3)
            / nullif(known_of_three(camber_level_1, camber_level_2, camber_level_3), 0) as camber_level_var_deg2,
        mean_of_three(caster_level_1, caster_level_2, caster_level_3) as caster_level_deg,
        mean_of_three(caster_level_var_1, caster_level_var_2, caster_level_var_3)
            / nullif(known_of_three(caster_level_1, caster_level_2, caster_level_3), 0) as caster_level_var_deg2,
        mean_of_three(sai_level_1, sai_level_2, sai_level_3) as sai_level_deg,
        mean_of_three(sai_level_var_1, sai_level_var_2, sai_level_var_3)
            / nullif(known_of_three(sai_level_1, sai_level_2, sai_level_3), 0) as sai_level_var_deg2
    from befores
    full join moveds using (vehicle, corner, visit)
    full join afters using (vehicle, corner, visit)
),
-- In order, by corner and angle.
ordered as (
    select vehicle, corner, angle, level,
        row_number() over (partition by vehicle, corner, angle order by level) as place,
        count(*) over (partition by vehicle, corner, angle) as count
    from (
        select vehicle, corner,
            unnest(['camber', 'caster', 'sai']) as angle,
            unnest([camber_level_deg, caster_level_deg, sai_level_deg]) as level
        from visits
    )
    where level is not null
),
-- The three levels in the middle, between which the median of all but one lies.
middles as (
    select
        vehicle,
        corner,
        max(count) filter (where angle = 'camber') as camber_count,
        max(level) filter (where angle = 'camber' and place = count // 2) as camber_0,
        max(level) filter (where angle = 'camber' and place = count // 2 + 1) as camber_1,
        max(level) filter (where angle = 'camber' and place = count // 2 + 2) as camber_2,
        max(count) filter (where angle = 'caster') as caster_count,
        max(level) filter (where angle = 'caster' and place = count // 2) as caster_0,
        max(level) filter (where angle = 'caster' and place = count // 2 + 1) as caster_1,
        max(level) filter (where angle = 'caster' and place = count // 2 + 2) as caster_2,
        max(count) filter (where angle = 'sai') as sai_count,
        max(level) filter (where angle = 'sai' and place = count // 2) as sai_0,
        max(level) filter (where angle = 'sai' and place = count // 2 + 1) as sai_1,
        max(level) filter (where angle = 'sai' and place = count // 2 + 2) as sai_2
    from ordered
    where place between count // 2 and count // 2 + 2
    group by vehicle, corner
)
select
    visits.*,
    median_of_others(camber_count, camber_0, camber_1, camber_2, camber_level_deg) as camber_other_deg,
    coalesce(camber_count, 0) - cast(camber_level_deg is not null as integer) as camber_other_count,
    other_level_var(
        camber_other_count, camber_visit_var_deg2 + camber_mount_var_deg2, camber_level_var_deg2
    ) as camber_other_var_deg2,
    median_of_others(caster_count, caster_0, caster_1, caster_2, caster_level_deg) as caster_other_deg,
    coalesce(caster_count, 0) - cast(caster_level_deg is not null as integer) as caster_other_count,
    other_level_var(
        caster_other_count, caster_visit_var_deg2 + caster_mount_var_deg2, caster_level_var_deg2
    ) as caster_other_var_deg2,
    median_of_others(sai_count, sai_0, sai_1, sai_2, sai_level_deg) as sai_other_deg,
    coalesce(sai_count, 0) - cast(sai_level_deg is not null as integer) as sai_other_count,
    other_level_var(
        sai_other_count, sai_visit_var_deg2 + sai_mount_var_deg2, sai_level_var_deg2
    ) as sai_other_var_deg2
from visits
left join middles using (vehicle, corner)
cross join check_spreads
