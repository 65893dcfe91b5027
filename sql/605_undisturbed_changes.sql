-- title: Session changes of corners that the session left alone
-- grain: one row per row of session_changes that counts as undisturbed
-- source: session_changes read with one gauge before and after
-- missing: gauge is NULL where none was named
-- Standard deviation of changes truncated at 2.5 of themselves, made consistent with the normal (the variance of a normal cut at
-- 2.5 is 0.911257 of the whole), iterated from the median absolute deviation; a corner counts only where all of its angles stay
-- within, since slips and bends show in some angles more than in others.
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR RL RR
-- column visit VARCHAR: visit
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column gauge VARCHAR: gauge that read both states
-- column change_deg DOUBLE [deg]: after minus before
-- column scaled_deg DOUBLE [deg]: change over sqrt(1 / readings before + 1 / readings after): its sd is that of one reading
-- column sd_deg DOUBLE [deg]: standard deviation of scaled_deg for this gauge and angle
with recursive
changes as (
    select
        vehicle,
        corner,
        visit,
        response,
        after_gauge as gauge,
        change_deg,
        change_deg / sqrt(1.0 / before_count + 1.0 / after_count) as scaled_deg
    from session_changes
    where before_gauge is not distinct from after_gauge
),
spreads as (
    select
        0 as step,
        gauge,
        response,
        -- No instrument shows steps so fine that less could be told.
        greatest(1.4826 * median(abs(scaled_deg)), 0.005) as sd_deg
    from changes
    group by gauge, response
    union all
    (
        with
        judged as (
            select
                step,
                changes.*,
                case when abs(scaled_deg) > 2.5 * sd_deg then 1 else 0 end as is_far
            from changes
            inner join spreads
                on spreads.gauge is not distinct from changes.gauge and spreads.response = changes.response
            where step < 8
        ),
        corners as (
            select *, sum(is_far) over (partition by vehicle, visit, corner) as far_count from judged
        )
        select
            step + 1 as step,
            gauge,
            response,
            greatest(sqrt(exact_sum(scaled_deg * scaled_deg) / count(*) / 0.911257), 0.005) as sd_deg
        from corners
        where far_count = 0
        group by step, gauge, response
    )
),
settled as (
    select gauge, response, sd_deg
    from spreads
    qualify row_number() over (partition by gauge, response order by step desc) = 1
)
select
    vehicle,
    corner,
    visit,
    changes.response,
    changes.gauge,
    change_deg,
    scaled_deg,
    sd_deg
from changes
inner join settled
    on settled.gauge is not distinct from changes.gauge and settled.response = changes.response
qualify max(abs(scaled_deg) / sd_deg) over (partition by vehicle, visit, corner) <= 2.5
