-- title: Angles of the measured states as the checks compare them
-- grain: one row per state and response (camber, caster, SAI) that was read
-- source: states, check_noise, check_slopes
-- missing: offsets are NULL where not known
-- column chassis VARCHAR: platform code
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR RL RR
-- column visit VARCHAR: visit
-- column phase VARCHAR: before moved after
-- column phase_order INTEGER: 1 before, 2 moved, 3 after
-- column kit VARCHAR: NULL = original mount
-- column plate_hand VARCHAR: left right
-- column plate_index INTEGER: bolt position
-- column mark_1 DOUBLE [marks]: pointer on the first scale
-- column mark_2 DOUBLE [marks]: pointer on the second scale
-- column offset_out_mm DOUBLE [mm]: bearing centre outboard of the original mount's; 0 on the rear
-- column offset_aft_mm DOUBLE [mm]: bearing centre rearward of the original mount's; 0 on the rear
-- column read_error_oo_mm2 DOUBLE [mm2]: variance of the offset from reading the pointer, outboard
-- column read_error_oa_mm2 DOUBLE [mm2]: its covariance
-- column read_error_aa_mm2 DOUBLE [mm2]: its variance rearward
-- column response VARCHAR: camber_deg caster_deg sai_deg
-- column read_deg DOUBLE [deg]: mean of the readings
-- column toe_part_deg DOUBLE [deg]: what toe adds to bring camber to zero toe, 0 where toe was not read and for the others
-- column read_count BIGINT: readings in the mean
-- column read_var_deg2 DOUBLE [deg2]: variance of that mean
-- column visit_var_deg2 DOUBLE [deg2]: of what all readings of one visit share
-- column mount_var_deg2 DOUBLE [deg2]: of what a change of mount adds
-- column side_var_deg2 DOUBLE [deg2]: of left minus right on a sound car
-- column slope_out DOUBLE [deg/mm]: outboard, by the word of other vehicles
-- column slope_aft DOUBLE [deg/mm]: rearward
-- column var_out DOUBLE [deg2/mm2]: variance
-- column var_aft DOUBLE [deg2/mm2]: variance
-- column cov_out_aft DOUBLE [deg2/mm2]: covariance
-- column spread_var DOUBLE [deg2/mm2]: variance of a corner's slope about its chassis' slope
-- column source_file VARCHAR: file of the first reading
-- column source_line INTEGER: line of the first reading
with
chassis_caster as (
    select chassis, median(caster_deg) as caster_deg from states where corner in ('FL', 'FR') group by chassis
),
angles as (
    select
        states.*,
        unnest([
            {
                'response': 'camber_deg',
                'read_deg': states.camber_deg,
                -- A wheel that toes in by 1 deg about an axis with caster t loses tan(t) deg of camber; a rear wheel has no such axis.
                'toe_part_deg': case
                    when corner in ('FL', 'FR') then coalesce(
                        tan_deg(coalesce(states.caster_deg, chassis_caster.caster_deg)) * states.toe_deg, 0
                    )
                    else cast(0 as double)
                end,
                'read_count': camber_count
            },
            {'response': 'caster_deg', 'read_deg': states.caster_deg, 'toe_part_deg': cast(0 as double), 'read_count': caster_count},
            {'response': 'sai_deg', 'read_deg': states.sai_deg, 'toe_part_deg': cast(0 as double), 'read_count': sai_count}
        ], recursive := true)
    from states
    left join chassis_caster using (chassis)
)
select
    angles.chassis,
    angles.vehicle,
    angles.corner,
    visit,
    phase,
    phase_order,
    kit,
    plate_hand,
    plate_index,
    mark_1,
    mark_2,
    case when corner in ('FL', 'FR') then offset_out_mm else 0 end as offset_out_mm,
    case when corner in ('FL', 'FR') then offset_aft_mm else 0 end as offset_aft_mm,
    read_error_oo_mm2,
    read_error_oa_mm2,
    read_error_aa_mm2,
    angles.response,
    read_deg,
    toe_part_deg,
    read_count,
    sd_deg * sd_deg / read_count as read_var_deg2,
    visit_sd_deg * visit_sd_deg as visit_var_deg2,
    mount_sd_deg * mount_sd_deg as mount_var_deg2,
    side_sd_deg * side_sd_deg as side_var_deg2,
    slope_out,
    slope_aft,
    var_out,
    var_aft,
    cov_out_aft,
    spread_var,
    source_file,
    source_line
from angles
inner join check_noise
    on check_noise.chassis = angles.chassis
    and check_noise.gauge is not distinct from angles.gauge
    and check_noise.response = angles.response
inner join check_slopes
    on check_slopes.chassis = angles.chassis and check_slopes.vehicle = angles.vehicle and check_slopes.response = angles.response
where read_deg is not null
