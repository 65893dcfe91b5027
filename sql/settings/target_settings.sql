-- title: What was set, beside what was wanted
-- grain: one row per after of an install or adjust visit of a front corner, and angle that its target names; cross_*: one row per visit
-- source: settings, chassis_targets
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
-- column true_error_deg DOUBLE [deg]: the same less what gauge and person add, as far as known
-- column u_deg DOUBLE [deg]: standard uncertainty of the true angle: repeats, set-up and bias
-- column apart_u_deg DOUBLE [deg]: the same without the bias
-- column scatter_u_deg DOUBLE [deg]: part of it that scatters from setting to setting, as far as readings tell
-- column found_error_deg DOUBLE [deg]: the same error before anything was moved in this visit
-- column at_end BOOLEAN: a pointer stands at the end of its scale beyond which the angle would come nearer to what is wanted
-- column end_of_scale BOOLEAN: so, and the angle is missed as read
-- column not_judged VARCHAR: why it cannot be judged
-- column source_file VARCHAR: file of the reading
-- column source_line INTEGER: line in that file
with
wanted as (
    select
        chassis,
        target,
        unnest([
            {
                'response': 'camber_deg', 'goal_deg': goal_camber_deg, 'tol_deg': camber_tol_deg,
                'cross_deg': cross_camber_deg, 'cross_max_deg': cross_camber_max_deg
            },
            {
                'response': 'caster_deg', 'goal_deg': goal_caster_deg, 'tol_deg': caster_tol_deg,
                'cross_deg': cross_caster_deg, 'cross_max_deg': cross_caster_max_deg
            },
            {
                'response': 'toe_deg', 'goal_deg': goal_toe_deg, 'tol_deg': toe_tol_deg,
                'cross_deg': 0, 'cross_max_deg': null
            }
        ], recursive := true)
    from chassis_targets
),
fronts as (
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
        source_file,
        source_line,
        unnest([
            {
                'response': 'camber_deg', 'read_deg': camber_deg, 'u_deg': camber_u_deg,
                'apart_u_deg': camber_apart_u_deg, 'scatter_u_deg': camber_scatter_u_deg,
                'bias_deg': camber_bias_deg, 'found_deg': found_camber_deg,
                'most_deg_per_mm': camber_most_deg_per_mm, 'least_deg_per_mm': camber_least_deg_per_mm
            },
            {
                'response': 'caster_deg', 'read_deg': caster_deg, 'u_deg': caster_u_deg,
                'apart_u_deg': caster_apart_u_deg, 'scatter_u_deg': caster_scatter_u_deg,
                'bias_deg': caster_bias_deg, 'found_deg': found_caster_deg,
                'most_deg_per_mm': caster_most_deg_per_mm, 'least_deg_per_mm': caster_least_deg_per_mm
            },
            {
                'response': 'toe_deg', 'read_deg': toe_deg, 'u_deg': toe_u_deg,
                'apart_u_deg': toe_apart_u_deg, 'scatter_u_deg': toe_scatter_u_deg,
                'bias_deg': toe_bias_deg, 'found_deg': found_toe_deg, 'most_deg_per_mm': null, 'least_deg_per_mm': null
            }
        ], recursive := true)
    from settings
    where target is not null
),
-- Left minus right; what one gauge and person share does not count.
crossed as (
    select
        lefts.chassis,
        vehicle,
        'FL-FR' as corner,
        visit,
        lefts.visit_kind,
        least(lefts.measured_ts, rights.measured_ts) as measured_ts,
        case when lefts.kit is not distinct from rights.kit then lefts.kit else 'several' end as kit,
        case when lefts.gauge is not distinct from rights.gauge then lefts.gauge else 'several' end as gauge,
        case when lefts.technician is not distinct from rights.technician then lefts.technician
            else 'several' end as technician,
        target,
        lefts.source_file,
        lefts.source_line,
        response,
        lefts.read_deg - rights.read_deg as read_deg,
        sqrt(power(lefts.apart_u_deg, 2) + power(rights.apart_u_deg, 2)) as both_u_deg,
        case
            when lefts.gauge is not distinct from rights.gauge
                and lefts.technician is not distinct from rights.technician then both_u_deg
            else sqrt(power(lefts.u_deg, 2) + power(rights.u_deg, 2))
        end as u_deg,
        sqrt(power(lefts.scatter_u_deg, 2) + power(rights.scatter_u_deg, 2)) as scatter_u_deg,
        lefts.bias_deg - rights.bias_deg as bias_deg,
        lefts.found_deg - rights.found_deg as found_deg,
        greatest(lefts.most_deg_per_mm, -rights.least_deg_per_mm) as most_deg_per_mm,
        least(lefts.least_deg_per_mm, -rights.most_deg_per_mm) as least_deg_per_mm
    from (select * from fronts where corner = 'FL') as lefts
    inner join (select * from fronts where corner = 'FR') as rights using (vehicle, visit, target, response)
),
-- Under 0.02 deg per mm an angle is left to the other scale, or to another index.
judged as (
    select
        *,
        round(read_deg - goal_deg, 6) as any_error_deg,
        round(read_deg - coalesce(bias_deg, 0) - goal_deg, 6) as any_true_error_deg,
        coalesce(
            case when any_error_deg < 0 then most_deg_per_mm > 0.02 else least_deg_per_mm < -0.02 end, false
        ) as at_end,
        case
            when read_deg is null then angle_name(response) || ' was not read'
            when tol_deg is null then 'the target gives no tolerance for ' || angle_name(response)
        end as not_judged
    from (
        select fronts.*, side_goal(corner, goal_deg, cross_deg) as goal_deg, tol_deg
        from fronts
        inner join wanted using (chassis, target, response)
        where goal_deg is not null
        union all by name
        select
            crossed.* exclude (both_u_deg) replace ('cross_' || response as response),
            both_u_deg as apart_u_deg,
            cross_deg as goal_deg,
            cross_max_deg as tol_deg
        from crossed
        inner join wanted using (chassis, target, response)
        where goal_deg is not null and cross_max_deg is not null
    )
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
    case when not_judged is null then any_error_deg end as error_deg,
    case when not_judged is null then any_true_error_deg end as true_error_deg,
    case when not_judged is null then u_deg end as u_deg,
    case when not_judged is null then apart_u_deg end as apart_u_deg,
    case when not_judged is null then scatter_u_deg end as scatter_u_deg,
    case when not_judged is null then round(found_deg - goal_deg, 6) end as found_error_deg,
    at_end,
    not_judged is null and at_end and abs(any_error_deg) > tol_deg + 1e-9 as end_of_scale,
    not_judged,
    source_file,
    source_line
from judged
