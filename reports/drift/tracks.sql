-- Points of the control charts of the twelve cars with most that moved: the newest of each corner and angle on its newest kit, 90 at most
-- and about 2400 in all, every chart getting the same share. reading_count: points of the corner, angle and kit.
with
ranked as (
    select
        vehicle,
        row_number() over (
            order by count(*) filter (where verdict <> 'held' and reason is null) desc, max(measured_ts) desc, vehicle
        ) as vehicle_rank
    from drift
    where $vehicle::varchar is null or vehicle = $vehicle
    group by vehicle
),
charts as materialized (
    select *
    from setting_charts(
        (select list(vehicle) from ranked where vehicle_rank <= 12), 'states', 'chassis_casters',
        'repeated_readings', 'reader_noise', 'sensitivities', 'angle_priors', 'drift'
    )
),
newest_kits as (
    select vehicle, corner, arg_max(kit, place_in_time(ordered_ts, visit, 0)) as kit from charts
        where kit is not null group by vehicle, corner
),
drawn as (
    select
        tracks.*,
        vehicle_rank,
        count(*) over (partition by tracks.vehicle, tracks.corner, response) as reading_count,
        row_number() over (partition by tracks.vehicle, tracks.corner, response order by point desc) as age
    from charts as tracks
    inner join newest_kits using (vehicle, corner, kit)
    inner join ranked on ranked.vehicle = tracks.vehicle
),
recent as (
    select *
    from drawn
    where age <= least(90, 2400 // (select count(*) from drawn where age = 1))
)
select
    recent.vehicle,
    recent.vehicle_rank,
    recent.corner,
    recent.response,
    reading_count,
    recent.visit,
    recent.visit_kind,
    recent.phase,
    strftime(recent.measured_ts, '%Y-%m-%d') as day,
    max(age) over (partition by recent.vehicle, recent.corner, response) - age + 1 as place,
    setting_count > lag(setting_count, 1, setting_count) over (
        partition by recent.vehicle, recent.corner, response order by point
    ) as is_set,
    level_deg,
    recent.read_deg,
    recent.toe_deg,
    recent.offset_out_mm,
    recent.offset_aft_mm,
    centre_deg,
    low_deg,
    high_deg,
    ewma_deg,
    ewma_low_deg,
    ewma_high_deg,
    sd_source,
    signal,
    case
        when recent.visit_kind <> 'session' or recent.phase <> 'after' then 'reading'
        when verdict = 'plate_moved' then 'plate moved'
        else coalesce(verdict, 'reading')
    end as drawn_as
from recent
left join drift
    on drift.vehicle = recent.vehicle and drift.corner = recent.corner and drift.visit = recent.visit
order by vehicle_rank, recent.corner, response, place
