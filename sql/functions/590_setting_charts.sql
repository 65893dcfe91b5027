-- Camber and caster over time, corrected for the setting, of the cars whose names are in the list `vehicles`: see setting_tracks. The others
-- are the names of the tables states, chassis_casters, repeated_readings, reader_noise, sensitivities, angle_priors and drift.
create or replace temp macro setting_charts(vehicles, states, casters, repeats, noises, slopes, priors, drifts) as table
with
cars as (
    select unnest(vehicles) as vehicle
),
-- A chassis without caster gets camber as read.
placed as (
    select
        fronts.*,
        coalesce(tan_deg(coalesce(fronts.caster_deg, casters.caster_deg)), 0) as tan_caster,
        coalesce(-mixture, reader_of(gauge, technician)) as reader
    from query_table(states) as fronts
    semi join cars on cars.vehicle = fronts.vehicle
    left join query_table(casters) as casters on casters.chassis = fronts.chassis
    left join (
        select distinct vehicle, corner, visit, phase, mixture from query_table(repeats) where mixture is not null
    ) as mixed
        on mixed.vehicle = fronts.vehicle and mixed.corner = fronts.corner and mixed.visit = fronts.visit
        and mixed.phase = fronts.phase
    where fronts.corner in ('FL', 'FR') and offset_out_mm is not null and measured_ts is not null
),
readings_long as (
    select
        placed.*,
        unnest([
            {
                'response': 'camber_deg', 'read_deg': camber_deg, 'n': camber_count,
                'toe_part': tan_caster * coalesce(toe_deg, 0)
            },
            {'response': 'caster_deg', 'read_deg': caster_deg, 'n': caster_count, 'toe_part': cast(0 as double)}
        ], recursive := true)
    from placed
),
levelled as (
    select
        readings_long.*,
        read_deg + toe_part - slope_out * offset_out_mm - slope_aft * offset_aft_mm as level_deg,
        mean_var(read_var_deg2, shared_var_deg2, n) + visit_sd_deg * visit_sd_deg
            + slope_out * slope_out * read_error_oo_mm2
            + 2 * slope_out * slope_aft * read_error_oa_mm2 + slope_aft * slope_aft * read_error_aa_mm2 as point_var,
        dense_rank() over (
            order by readings_long.vehicle, readings_long.corner, readings_long.kit, readings_long.response
        ) as track,
        row_number() over so_far as point,
        count(*) filter (where visit_kind = 'session' and readings_long.phase = 'after') over so_far as session_count,
        count(*) filter (
            where visit_kind in ('install', 'adjust') and readings_long.phase <> 'before'
        ) over so_far as setting
    from readings_long
    inner join query_table(slopes) as slopes
        on slopes.chassis = readings_long.chassis and slopes.response = readings_long.response
    inner join query_table(noises) as noises
        on noises.reader = readings_long.reader and noises.response = readings_long.response
    inner join query_table(priors) as priors on priors.response = readings_long.response
    where read_deg is not null
    window so_far as (
        partition by readings_long.vehicle, readings_long.corner, readings_long.kit, readings_long.response
        order by place_in_time(ordered_ts, readings_long.visit, phase_order)
        rows between unbounded preceding and current row
    )
),
-- Numbers of the newest session with another verdict than held, and of the newest time that the plate was set.
judged as (
    select
        levelled.*,
        coalesce(
            max(case when verdicts.verdict <> 'held' and phase = 'after' then point end) over so_far
                <= max(case when visit_kind in ('install', 'adjust') and phase <> 'before' then point end) over so_far,
            max(case when verdicts.verdict <> 'held' and phase = 'after' then point end) over so_far is null
        ) as is_clean
    from levelled
    left join (
        select of_all.* from query_table(drifts) as of_all semi join cars on cars.vehicle = of_all.vehicle
    ) as verdicts
        on verdicts.vehicle = levelled.vehicle and verdicts.corner = levelled.corner and verdicts.visit = levelled.visit
    window so_far as (partition by track order by point rows between unbounded preceding and current row)
),
limited as (
    select
        track,
        list(level_deg order by point) filter (where is_clean) as clean_levels,
        coalesce(len(clean_levels), 0) as clean_count,
        list_avg(clean_levels) as centre_deg,
        case when clean_count >= 8 then greatest(moving_range_sd(clean_levels), 0.005)
            else sqrt(exact_mean(point_var)) end as sd_deg,
        case when clean_count >= 8 then 'history' else 'readings' end as sd_source
    from judged
    group by track
),
-- Averages and sums begin anew whenever the plate is set.
spells as (
    select track, centre_deg, sd_deg, list(point order by point) as points, list(level_deg order by point) as levels
    from judged
    inner join limited using (track)
    group by track, setting, centre_deg, sd_deg
),
charted as (
    select
        track,
        unnest(points) as point,
        unnest(range(1, len(points) + 1)) as place,
        unnest(ewma(levels, 0.25, coalesce(centre_deg, levels[1]))) as average,
        unnest(cusum([(level - centre_deg) / sd_deg for level in levels], 0, 0.5, 1)) as sum_up,
        unnest(cusum([(level - centre_deg) / sd_deg for level in levels], 0, 0.5, -1)) as sum_down
    from spells
),
placed_in_spells as (
    select *, sd_deg * ewma_reach(0.25, (chart_limits()).ewma, place) as reach
    from judged
    inner join charted using (track, point)
    inner join limited using (track)
)
select
    chassis,
    vehicle,
    corner,
    kit,
    response,
    point,
    visit,
    visit_kind,
    phase,
    measured_ts,
    ordered_ts,
    session_count,
    setting as setting_count,
    read_deg,
    toe_deg,
    offset_out_mm,
    offset_aft_mm,
    level_deg,
    is_clean,
    clean_count,
    centre_deg,
    sd_deg,
    sd_source,
    centre_deg - (chart_limits()).point * sd_deg as low_deg,
    centre_deg + (chart_limits()).point * sd_deg as high_deg,
    case when centre_deg is not null then average end as ewma_deg,
    centre_deg - reach as ewma_low_deg,
    centre_deg + reach as ewma_high_deg,
    case when centre_deg is not null then sum_up end as cusum_high,
    case when centre_deg is not null then sum_down end as cusum_low,
    case
        when centre_deg is not null
        then chart_signal(level_deg - centre_deg, average - centre_deg, greatest(sum_up, sum_down), sd_deg, place)
    end as signal
from placed_in_spells;
