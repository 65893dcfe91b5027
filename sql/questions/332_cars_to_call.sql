-- Cars to call back: the newest visit that set the car to a target leaves an angle outside for sure, or missed it with under an even
-- chance of being inside. One row per car with its worst angle; place: worst first; car_count counts all; other_count: further angles.
-- guard: guard band in standard uncertainties; come_back_days: as in judged_visits.
create or replace temp macro cars_to_call(guard, come_back_days) as table
with
newest as (
    select vehicle, visit
    from judged_visits(guard, come_back_days)
    qualify row_number() over (partition by vehicle order by ordered_ts desc nulls last, visit desc) = 1
),
worst as (
    select judged.*
    from judged_settings(guard) as judged
    inner join newest using (vehicle, visit)
    where verdict = 'outside' or p_inside < 0.5
    qualify row_number() over (
        partition by vehicle order by p_inside, abs(error_deg) / greatest(tol_deg, 0.01) desc, response, corner
    ) = 1
),
angles as (
    select vehicle, visit, count(*) as angle_count
    from judged_settings(guard)
    inner join newest using (vehicle, visit)
    where verdict = 'outside' or p_inside < 0.5
    group by vehicle, visit
)
select
    row_number() over (order by p_inside, abs(error_deg) / greatest(tol_deg, 0.01) desc, vehicle) as place,
    count(*) over () as car_count,
    vehicle,
    chassis,
    visit,
    strftime(measured_ts, '%Y-%m-%d') as day,
    target,
    corner,
    response,
    error_deg,
    tol_deg,
    p_inside,
    verdict,
    case
        when response = 'toe_deg' and toe_state <> 'set' then 'toe was not set again'
        when response = 'toe_deg' then 'set toe'
        when far_off then 'check the sheet for a mistake'
        when reach = 'another index'
            then concat_ws(': ', case when end_of_scale then 'end of the scale' end, 'another index would do')
        when reach = 'no index'
            then concat_ws(': ', case when end_of_scale then 'end of the scale' end, 'no index of the kit would do')
        when end_of_scale then 'end of the scale'
        else 'can be set where it stands'
    end as what,
    angle_count - 1 as other_count
from worst
inner join angles using (vehicle, visit)
left join (select vehicle, corner, visit, toe_state from toe_settings) using (vehicle, corner, visit)
left join (select vehicle, corner, visit, reach from setting_reach) using (vehicle, corner, visit);
