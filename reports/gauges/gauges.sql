-- Each gauge, person or confounded pair and angle: noise of one reading, bias with its 95 % interval, and the tightest tolerance that
-- its readings judge. band_*: where 95 % of single readings of a true 0 fall, by noise, set-up and bias; frame_deg: edge of the picture.
with
tightest as (
    select
        response,
        min(tolerance_deg) as tolerance_deg
    from gauge_tolerances()
    where tolerance_deg > 0
    group by response
),
own as (
    select
        gauge,
        response,
        max(share_of_tolerance) as share_of_tolerance,
        min(guarded_tolerance_deg) as guarded_tolerance_deg
    from gauge_tolerances()
    inner join tightest using (response, tolerance_deg)
    group by gauge, response
),
told as (
    select
        gauges.*,
        tolerance_deg,
        case when kind = 'gauge' then share_of_tolerance end as share_of_tolerance,
        case when kind = 'gauge' then guarded_tolerance_deg end as guarded_tolerance_deg,
        coalesce(bias_deg, 0) as centre_deg,
        1.96 * sqrt(power(repeatability_deg, 2) + power(coalesce(set_up_deg, 0), 2)) as half_deg
    from gauges
    left join tightest using (response)
    left join own on own.gauge = gauges.name and own.response = gauges.response
)
select
    kind,
    name,
    response,
    reading_count,
    repeatability_deg,
    repeatability_low_deg,
    repeatability_high_deg,
    source,
    bias_deg,
    bias_std_error_deg,
    bias_deg - 1.96 * bias_std_error_deg as bias_low_deg,
    bias_deg + 1.96 * bias_std_error_deg as bias_high_deg,
    bias_missing,
    set_up_deg,
    walk_deg_per_week,
    walk_std_error_deg_per_week,
    walk_weeks,
    walks,
    p_walks,
    tolerance_deg,
    -tolerance_deg as tolerance_low_deg,
    share_of_tolerance,
    guarded_tolerance_deg,
    centre_deg,
    centre_deg - half_deg as band_low_deg,
    centre_deg + half_deg as band_high_deg,
    1.08 * max(greatest(abs(centre_deg) + coalesce(half_deg, 0), coalesce(tolerance_deg, 0), 0.02))
        over (partition by response) as frame_deg
from told
order by list_position(['camber_deg', 'caster_deg', 'toe_deg', 'sai_deg'], response),
    list_position(['gauge', 'pair', 'technician'], kind), reading_count desc, name
