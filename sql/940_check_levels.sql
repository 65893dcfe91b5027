-- title: What a corner reads at the original bearing place, this visit and its other visits
-- grain: one row per vehicle, corner, visit and response with a known offset
-- source: check_states
-- missing: other_deg and other_var_deg2 are NULL where no other visit tells
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR RL RR
-- column visit VARCHAR: visit
-- column response VARCHAR: camber_deg caster_deg sai_deg; camber at zero toe
-- column level_deg DOUBLE [deg]: mean over the visit's states, brought to offset 0
-- column other_deg DOUBLE [deg]: median of the same over the other visits
-- column other_var_deg2 DOUBLE [deg2]: variance of a level of this visit about it, reading noise of this visit left out
-- column other_count BIGINT: other visits
with
levels as (
    select
        vehicle,
        corner,
        visit,
        response,
        exact_mean(read_deg + toe_part_deg - slope_out * offset_out_mm - slope_aft * offset_aft_mm) as level_deg,
        exact_mean(read_var_deg2) / count(*) as read_var_deg2,
        any_value(visit_var_deg2) as visit_var_deg2,
        any_value(mount_var_deg2) as mount_var_deg2
    from check_states
    where offset_out_mm is not null
    group by vehicle, corner, visit, response
),
compared as (
    select
        *,
        median(level_deg) over others as other_deg,
        count(*) over others as other_count
    from levels
    window others as (
        partition by vehicle, corner, response
        order by visit
        rows between unbounded preceding and unbounded following
        exclude current row
    )
)
select
    vehicle,
    corner,
    visit,
    response,
    level_deg,
    other_deg,
    case
        when other_count > 0 then (visit_var_deg2 + mount_var_deg2)
            + (visit_var_deg2 + mount_var_deg2 + read_var_deg2) / other_count * case when other_count > 2 then pi() / 2 else 1 end
    end as other_var_deg2,
    other_count
from compared
