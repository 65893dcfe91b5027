-- title: What was set, beside what was wanted
-- grain: one row per after of an install or adjust visit of a front corner, and angle that its target names; cross_*: one row per visit
-- source: states, goals, reading_noise, sensitivities, scale_ends
-- missing: a row that cannot be judged says why in not_judged; error, uncertainty and probability are then NULL
-- column chassis VARCHAR: platform code
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR; FL-FR for the difference left minus right
-- column visit VARCHAR: visit
-- column visit_kind VARCHAR: install adjust
-- column measured_ts TIMESTAMP: when it was read, local wall time
-- column kit VARCHAR: NULL = original mount; several = the sides differ
-- column plate_index INTEGER: bolt position
-- column plate_hand VARCHAR: left right
-- column gauge VARCHAR: measuring equipment; NULL = not named; several = the sides differ
-- column technician VARCHAR: who measured; NULL = not named; several = the sides differ
-- column target VARCHAR: what it was set to
-- column response VARCHAR: camber_deg caster_deg toe_deg cross_camber_deg cross_caster_deg
-- column read_deg DOUBLE [deg]: mean reading
-- column goal_deg DOUBLE [deg]: wanted, 0 for cross_*
-- column tol_deg DOUBLE [deg]: plus or minus
-- column error_deg DOUBLE [deg]: reading minus wanted
-- column u_deg DOUBLE [deg]: standard uncertainty of the reading (repeatability over the root of the readings averaged)
-- column p_inside DOUBLE: probability that the true angle lies inside the tolerance, from this reading alone
-- column found_error_deg DOUBLE [deg]: the same error before anything was moved in this visit
-- column at_end BOOLEAN: a pointer stands at the end of its scale beyond which the angle would come nearer to what is wanted
-- column end_of_scale BOOLEAN: so, and the angle is missed as read
-- column not_judged VARCHAR: why it cannot be judged
-- column source_file VARCHAR: file of the reading
-- column source_line INTEGER: line in that file
with
aimed as (
    select states.*, goals.* exclude (chassis, target)
    from states
    inner join goals on goals.chassis = states.chassis and goals.target = states.target
    -- A plate moves front corners only.
    where phase = 'after' and visit_kind in ('install', 'adjust') and corner in ('FL', 'FR')
),
found as (
    select aimed.*, earlier.camber_deg as found_camber_deg, earlier.caster_deg as found_caster_deg, earlier.toe_deg as found_toe_deg
    from aimed
    left join states as earlier
        on earlier.vehicle = aimed.vehicle
        and earlier.corner = aimed.corner
        and earlier.visit = aimed.visit
        and earlier.phase = 'before'
),
angles as (
    select
        *,
        unnest([
            {
                'response': 'camber_deg', 'read_deg': camber_deg, 'found_deg': found_camber_deg,
                'goal_deg': goal_camber_deg, 'tol_deg': camber_tol_deg, 'reading_count': camber_count
            },
            {
                'response': 'caster_deg', 'read_deg': caster_deg, 'found_deg': found_caster_deg,
                'goal_deg': goal_caster_deg, 'tol_deg': caster_tol_deg, 'reading_count': caster_count
            },
            {
                'response': 'toe_deg', 'read_deg': toe_deg, 'found_deg': found_toe_deg,
                'goal_deg': goal_toe_deg, 'tol_deg': toe_tol_deg, 'reading_count': toe_count
            }
        ], recursive := true)
    from found
),
measured as (
    select
        angles.*,
        sd_deg / sqrt(angles.reading_count) as u_deg
    from angles
    inner join reading_noise on reading_noise.gauge is not distinct from angles.gauge and reading_noise.response = angles.response
    where goal_deg is not null
),
-- What one millimetre beyond the end of a scale would do to the angle; toe is set at the tie rod.
beyond as (
    select
        scale_ends.vehicle,
        scale_ends.corner,
        scale_ends.visit,
        sensitivities.response,
        max(slope_out * beyond_out + slope_aft * beyond_aft) as most_deg_per_mm,
        min(slope_out * beyond_out + slope_aft * beyond_aft) as least_deg_per_mm
    from scale_ends
    inner join aimed using (vehicle, corner, visit, phase)
    inner join sensitivities on sensitivities.chassis = aimed.chassis
    where sensitivities.response in ('camber_deg', 'caster_deg')
    group by scale_ends.vehicle, scale_ends.corner, scale_ends.visit, sensitivities.response
),
single as (
    select
        measured.* exclude (u_deg),
        case when read_deg is not null then u_deg end as u_deg,
        round(read_deg - goal_deg, 6) as error_deg,
        round(found_deg - goal_deg, 6) as found_error_deg,
        most_deg_per_mm,
        least_deg_per_mm
    from measured
    left join beyond using (vehicle, corner, visit, response)
),
-- Under 0.02 deg per mm an angle is left to the other scale, or to another index.
crossed as (
    select
        lefts.chassis,
        lefts.vehicle,
        'FL-FR' as corner,
        lefts.visit,
        lefts.visit_kind,
        least(lefts.measured_ts, rights.measured_ts) as measured_ts,
        case when lefts.kit is not distinct from rights.kit then lefts.kit else 'several' end as kit,
        cast(null as integer) as plate_index,
        cast(null as varchar) as plate_hand,
        case when lefts.gauge is not distinct from rights.gauge then lefts.gauge else 'several' end as gauge,
        case when lefts.technician is not distinct from rights.technician then lefts.technician else 'several' end as technician,
        lefts.target,
        'cross_' || lefts.response as response,
        lefts.read_deg - rights.read_deg as read_deg,
        cast(0 as double) as goal_deg,
        case lefts.response when 'camber_deg' then lefts.cross_camber_max_deg else lefts.cross_caster_max_deg end as tol_deg,
        round(lefts.read_deg - rights.read_deg, 6) as error_deg,
        sqrt(lefts.u_deg * lefts.u_deg + rights.u_deg * rights.u_deg) as u_deg,
        round(lefts.found_deg - rights.found_deg, 6) as found_error_deg,
        greatest(lefts.most_deg_per_mm, -rights.least_deg_per_mm) as most_deg_per_mm,
        least(lefts.least_deg_per_mm, -rights.most_deg_per_mm) as least_deg_per_mm,
        lefts.source_file,
        lefts.source_line
    from single as lefts
    inner join single as rights
        on rights.vehicle = lefts.vehicle
        and rights.visit = lefts.visit
        and rights.response = lefts.response
        and rights.target = lefts.target
    where lefts.corner = 'FL' and rights.corner = 'FR' and lefts.response in ('camber_deg', 'caster_deg')
),
all_rows as (
    select
        chassis, vehicle, corner, visit, visit_kind, measured_ts, kit, plate_index, plate_hand, gauge, technician, target, response,
        read_deg, goal_deg, tol_deg, error_deg, u_deg, found_error_deg, most_deg_per_mm, least_deg_per_mm, source_file, source_line
    from single
    union all by name
    select * from crossed where tol_deg is not null
),
judged as (
    select
        *,
        coalesce(case when error_deg < 0 then most_deg_per_mm > 0.02 else least_deg_per_mm < -0.02 end, false) as at_end,
        case
            when read_deg is null then replace(response, '_deg', '') || ' was not read'
            when tol_deg is null then 'the target gives no tolerance for ' || replace(response, '_deg', '')
        end as not_judged
    from all_rows
)
select
    chassis,
    vehicle,
    corner,
    visit,
    visit_kind,
    measured_ts,
    kit,
    plate_index,
    plate_hand,
    gauge,
    technician,
    target,
    response,
    read_deg,
    goal_deg,
    tol_deg,
    case when not_judged is null then error_deg end as error_deg,
    case when not_judged is null then u_deg end as u_deg,
    case when not_judged is null then p_within(read_deg, goal_deg - tol_deg, goal_deg + tol_deg, u_deg) end as p_inside,
    case when not_judged is null then found_error_deg end as found_error_deg,
    at_end,
    not_judged is null and at_end and abs(error_deg) > tol_deg + 1e-9 as end_of_scale,
    not_judged,
    source_file,
    source_line
from judged
