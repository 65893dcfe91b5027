-- title: Angles of a corner at the original bearing place, in this visit and in its other visits
-- grain: one row per vehicle, corner and visit
-- source: check_corners, check_slopes, check_spreads
-- missing: NULL where the angle was not read at a known offset; other_deg and other_var_deg2 where no other visit tells
-- column chassis VARCHAR: platform code
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR RL RR
-- column visit VARCHAR: visit
-- column camber_level_deg DOUBLE [deg]: camber at zero toe, mean over the visit's states with a known offset, brought to offset 0
-- column camber_level_var_deg2 DOUBLE [deg2]: its variance from reading
-- column camber_other_deg DOUBLE [deg]: median of the same over the other visits
-- column camber_other_var_deg2 DOUBLE [deg2]: variance of a level of this visit about it, reading noise of this visit left out
-- column camber_other_count BIGINT: other visits
-- column caster_level_deg DOUBLE [deg]: caster, mean over the visit's states with a known offset, brought to offset 0
-- column caster_level_var_deg2 DOUBLE [deg2]: its variance from reading
-- column caster_other_deg DOUBLE [deg]: median of the same over the other visits
-- column caster_other_var_deg2 DOUBLE [deg2]: variance of a level of this visit about it, reading noise of this visit left out
-- column caster_other_count BIGINT: other visits
-- column sai_level_deg DOUBLE [deg]: SAI, mean over the visit's states with a known offset, brought to offset 0
-- column sai_level_var_deg2 DOUBLE [deg2]: its variance from reading
-- column sai_other_deg DOUBLE [deg]: median of the same over the other visits
-- column sai_other_var_deg2 DOUBLE [deg2]: variance of a level of this visit about it, reading noise of this visit left out
-- column sai_other_count BIGINT: other visits
with
states_at_zero as (
    select
        check_corners.chassis,
        vehicle,
        corner,
        visit,
        before_camber_deg - camber_slope_out * before_out_mm - camber_slope_aft * before_aft_mm as before_camber_deg,
        moved_camber_deg - camber_slope_out * moved_out_mm - camber_slope_aft * moved_aft_mm as moved_camber_deg,
        after_camber_deg - camber_slope_out * after_out_mm - camber_slope_aft * after_aft_mm as after_camber_deg,
        before_caster_deg - caster_slope_out * before_out_mm - caster_slope_aft * before_aft_mm as before_caster_deg,
        moved_caster_deg - caster_slope_out * moved_out_mm - caster_slope_aft * moved_aft_mm as moved_caster_deg,
        after_caster_deg - caster_slope_out * after_out_mm - caster_slope_aft * after_aft_mm as after_caster_deg,
        before_sai_deg - sai_slope_out * before_out_mm - sai_slope_aft * before_aft_mm as before_sai_deg,
        moved_sai_deg - sai_slope_out * moved_out_mm - sai_slope_aft * moved_aft_mm as moved_sai_deg,
        after_sai_deg - sai_slope_out * after_out_mm - sai_slope_aft * after_aft_mm as after_sai_deg,
        case when before_out_mm is not null then before_camber_var_deg2 end as before_camber_var_deg2,
        case when moved_out_mm is not null then moved_camber_var_deg2 end as moved_camber_var_deg2,
        case when after_out_mm is not null then after_camber_var_deg2 end as after_camber_var_deg2,
        case when before_out_mm is not null then before_caster_var_deg2 end as before_caster_var_deg2,
        case when moved_out_mm is not null then moved_caster_var_deg2 end as moved_caster_var_deg2,
        case when after_out_mm is not null then after_caster_var_deg2 end as after_caster_var_deg2,
        case when before_out_mm is not null then before_sai_var_deg2 end as before_sai_var_deg2,
        case when moved_out_mm is not null then moved_sai_var_deg2 end as moved_sai_var_deg2,
        case when after_out_mm is not null then after_sai_var_deg2 end as after_sai_var_deg2
    from check_corners
    inner join check_slopes using (chassis, vehicle)
),
levels as (
    select
        chassis,
        vehicle,
        corner,
        visit,
        mean_of_three(before_camber_deg, moved_camber_deg, after_camber_deg) as camber_deg,
        mean_of_three(before_camber_var_deg2, moved_camber_var_deg2, after_camber_var_deg2)
            / nullif(
                cast(before_camber_deg is not null as integer) + cast(moved_camber_deg is not null as integer)
                + cast(after_camber_deg is not null as integer), 0
            ) as camber_var_deg2,
        mean_of_three(before_caster_deg, moved_caster_deg, after_caster_deg) as caster_deg,
        mean_of_three(before_caster_var_deg2, moved_caster_var_deg2, after_caster_var_deg2)
            / nullif(
                cast(before_caster_deg is not null as integer) + cast(moved_caster_deg is not null as integer)
                + cast(after_caster_deg is not null as integer), 0
            ) as caster_var_deg2,
        mean_of_three(before_sai_deg, moved_sai_deg, after_sai_deg) as sai_deg,
        mean_of_three(before_sai_var_deg2, moved_sai_var_deg2, after_sai_var_deg2)
            / nullif(
                cast(before_sai_deg is not null as integer) + cast(moved_sai_deg is not null as integer)
                + cast(after_sai_deg is not null as integer), 0
            ) as sai_var_deg2
    from states_at_zero
),
-- Ranks and not lists: a corner may have any number of visits, and a list of them beside each would be their square.
ranked as (
    select
        *,
        row_number() over (partition by vehicle, corner order by camber_deg) as camber_rank,
        count(camber_deg) over (partition by vehicle, corner) as camber_count,
        row_number() over (partition by vehicle, corner order by caster_deg) as caster_rank,
        count(caster_deg) over (partition by vehicle, corner) as caster_count,
        row_number() over (partition by vehicle, corner order by sai_deg) as sai_rank,
        count(sai_deg) over (partition by vehicle, corner) as sai_count
    from levels
),
-- The three levels in the middle of the corner's, between which the median of all but one lies.
middles as (
    select
        vehicle,
        corner,
        max(camber_deg) filter (where camber_rank = camber_count // 2 + 0) as camber_middle_0,
        max(camber_deg) filter (where camber_rank = camber_count // 2 + 1) as camber_middle_1,
        max(camber_deg) filter (where camber_rank = camber_count // 2 + 2) as camber_middle_2,
        max(caster_deg) filter (where caster_rank = caster_count // 2 + 0) as caster_middle_0,
        max(caster_deg) filter (where caster_rank = caster_count // 2 + 1) as caster_middle_1,
        max(caster_deg) filter (where caster_rank = caster_count // 2 + 2) as caster_middle_2,
        max(sai_deg) filter (where sai_rank = sai_count // 2 + 0) as sai_middle_0,
        max(sai_deg) filter (where sai_rank = sai_count // 2 + 1) as sai_middle_1,
        max(sai_deg) filter (where sai_rank = sai_count // 2 + 2) as sai_middle_2
    from ranked
    group by vehicle, corner
),
compared as (
    select
        ranked.* exclude (camber_rank, caster_rank, sai_rank, camber_count, caster_count, sai_count),
        median_of_others(
            camber_count, camber_middle_0, camber_middle_1, camber_middle_2, camber_deg
        ) as camber_other_deg,
        camber_count - cast(camber_deg is not null as integer) as camber_other_count,
        median_of_others(
            caster_count, caster_middle_0, caster_middle_1, caster_middle_2, caster_deg
        ) as caster_other_deg,
        caster_count - cast(caster_deg is not null as integer) as caster_other_count,
        median_of_others(sai_count, sai_middle_0, sai_middle_1, sai_middle_2, sai_deg) as sai_other_deg,
        sai_count - cast(sai_deg is not null as integer) as sai_other_count
    from ranked
    inner join middles using (vehicle, corner)
)
select
    chassis,
    vehicle,
    corner,
    visit,
    camber_deg as camber_level_deg,
    camber_var_deg2 as camber_level_var_deg2,
    camber_other_deg,
    case
        when camber_other_count > 0 then (camber_visit_var_deg2 + camber_mount_var_deg2)
            + (camber_visit_var_deg2 + camber_mount_var_deg2 + camber_var_deg2) / camber_other_count
            * case when camber_other_count > 2 then pi() / 2 else 1 end
    end as camber_other_var_deg2,
    camber_other_count,
    caster_deg as caster_level_deg,
    caster_var_deg2 as caster_level_var_deg2,
    caster_other_deg,
    case
        when caster_other_count > 0 then (caster_visit_var_deg2 + caster_mount_var_deg2)
            + (caster_visit_var_deg2 + caster_mount_var_deg2 + caster_var_deg2) / caster_other_count
            * case when caster_other_count > 2 then pi() / 2 else 1 end
    end as caster_other_var_deg2,
    caster_other_count,
    sai_deg as sai_level_deg,
    sai_var_deg2 as sai_level_var_deg2,
    sai_other_deg,
    case
        when sai_other_count > 0 then (sai_visit_var_deg2 + sai_mount_var_deg2)
            + (sai_visit_var_deg2 + sai_mount_var_deg2 + sai_var_deg2) / sai_other_count
            * case when sai_other_count > 2 then pi() / 2 else 1 end
    end as sai_other_var_deg2,
    sai_other_count
from compared
cross join check_spreads
