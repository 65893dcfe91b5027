-- Over time: by gauge, angle and month, what its readings of states that several gauges read lie above the mean of those gauges, with a
-- 95 % t interval over the states.
with
angles as (
    unpivot (
        select vehicle, corner, visit, phase, gauge, left(measured_at, 7) as month, camber_deg, caster_deg, toe_deg
        from readings
        where gauge is not null
    )
    on camber_deg, caster_deg, toe_deg
    into name response value angle_deg
),
per_gauge as (
    select
        vehicle,
        corner,
        visit,
        phase,
        response,
        gauge,
        min(month) as month,
        fine_sum(angle_deg) / count(*) as angle_deg
    from angles
    group by vehicle, corner, visit, phase, response, gauge
),
states as (
    select vehicle, corner, visit, phase, response, fine_sum(angle_deg) / count(*) as mean_deg
    from per_gauge
    group by vehicle, corner, visit, phase, response
    having count(*) > 1
),
met as (
    select response, gauge, month, angle_deg - mean_deg as gap_deg
    from per_gauge
    inner join states using (vehicle, corner, visit, phase, response)
),
sums as (
    select
        response,
        gauge,
        month,
        count(*) as state_count,
        fine_sum(gap_deg) / count(*) as mean_deg,
        fine_sum(gap_deg * gap_deg) as square_deg2
    from met
    group by response, gauge, month
),
spread as (
    select
        *,
        case
            when state_count > 1
                then t_quantile(0.975, state_count - 1)
                    * sqrt(greatest(square_deg2 - state_count * mean_deg * mean_deg, 0))
                    / sqrt((state_count - 1) * state_count)
        end as half_deg
    from sums
)
select
    response,
    gauge,
    month,
    state_count,
    mean_deg,
    mean_deg - half_deg as low_deg,
    mean_deg + half_deg as high_deg
from spread
order by list_position(['camber_deg', 'caster_deg', 'toe_deg'], response), gauge, month
