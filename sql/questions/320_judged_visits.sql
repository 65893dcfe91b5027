-- Visits that set a car to a target, one row each, judged as a whole: outside where one angle is, inside where all are.
-- came_back: the car's next install or adjust visit comes within come_back_days and is for the same target or none named; moved: whether
-- its first readings differ from those left behind by more than their noise allows (two-sided, 5 % shared by the angles compared).
-- first_time: the visit is itself no come-back; followed: the readings go on for come_back_days after it.
create or replace temp macro judged_visits(guard, come_back_days) as table
with
judged as (
    select
        vehicle,
        visit,
        min(chassis) as chassis,
        min(visit_kind) as visit_kind,
        min(measured_ts) as measured_ts,
        min(target) as target,
        case when count(distinct coalesce(kit, '')) = 1 then min(kit) else 'several' end as kit,
        case when count(distinct coalesce(gauge, '')) = 1 then min(gauge) else 'several' end as gauge,
        case when count(distinct coalesce(technician, '')) = 1 then min(technician) else 'several' end as technician,
        case
            when bool_or(verdict = 'outside') then 'outside'
            when bool_and(verdict = 'inside') then 'inside'
            else 'undecided'
        end as verdict,
        bool_and(hit) as hit,
        -- Every miss of the visit comes from travel that ran out.
        not bool_and(hit) and bool_and(hit or end_of_scale) as end_of_scale,
        product(p_inside) as p_inside
    from judged_settings(guard)
    group by vehicle, visit
),
settings_made as (
    select
        vehicle,
        visit,
        min(measured_ts) as began_ts,
        min(target) as target
    from states
    where visit_kind in ('install', 'adjust') and corner in ('FL', 'FR')
    group by vehicle, visit
),
following as (
    select
        judged.vehicle,
        judged.visit,
        judged.target as wanted,
        judged.measured_ts,
        arg_min(settings_made.visit, (settings_made.began_ts, settings_made.visit)) as came_back_visit,
        arg_min(settings_made.target, (settings_made.began_ts, settings_made.visit)) as came_back_target,
        min(settings_made.began_ts) as came_back_ts
    from judged
    inner join settings_made
        on settings_made.vehicle = judged.vehicle
        and settings_made.visit <> judged.visit
        and settings_made.began_ts > judged.measured_ts
    group by judged.vehicle, judged.visit, judged.target, judged.measured_ts
),
returns as (
    select vehicle, visit, came_back_visit, came_back_ts
    from following
    where came_back_ts <= measured_ts + to_hours(cast(24 * come_back_days as bigint))
        -- Back to the other setting is another job.
        and coalesce(came_back_target, wanted) = wanted
),
readings_of as (
    select
        states.*,
        unnest([
            {'response': 'camber_deg', 'read_deg': camber_deg, 'reading_count': camber_count},
            {'response': 'caster_deg', 'read_deg': caster_deg, 'reading_count': caster_count},
            {'response': 'toe_deg', 'read_deg': toe_deg, 'reading_count': toe_count}
        ], recursive := true)
    from states
    where corner in ('FL', 'FR')
),
known as (
    select
        readings_of.*,
        sd_deg / sqrt(readings_of.reading_count) as u_deg
    from readings_of
    inner join reading_noise
        on reading_noise.gauge is not distinct from readings_of.gauge and reading_noise.response = readings_of.response
    where read_deg is not null
),
compared as (
    select
        returns.vehicle,
        returns.visit,
        abs(again.read_deg - left_behind.read_deg) / sqrt(power(again.u_deg, 2) + power(left_behind.u_deg, 2)) as deviate
    from returns
    inner join known as left_behind
        on left_behind.vehicle = returns.vehicle and left_behind.visit = returns.visit and left_behind.phase = 'after'
    inner join known as again
        on again.vehicle = returns.vehicle
        and again.visit = returns.came_back_visit
        and again.phase = 'before'
        and again.corner = left_behind.corner
        and again.response = left_behind.response
),
changes as (
    select
        vehicle,
        visit,
        max(deviate) > normal_quantile(1 - 0.025 / count(*)) as moved
    from compared
    group by vehicle, visit
)
select
    judged.*,
    strftime(judged.measured_ts, '%Y-%m') as month,
    came_back_visit is not null as came_back,
    came_back_visit,
    came_back_ts,
    moved,
    not exists (
        select 1 from returns as earlier where earlier.vehicle = judged.vehicle and earlier.came_back_visit = judged.visit
    ) as first_time,
    judged.measured_ts + to_hours(cast(24 * come_back_days as bigint)) <= (select max(measured_ts) from states) as followed
from judged
left join returns using (vehicle, visit)
left join changes using (vehicle, visit);
