-- title: Needed offsets as reach is counted on them
-- grain: one row per vehicle, front corner and target, as in needed_offsets without the corners set apart
-- source: needed_offsets, needed_moments, needed_spreads
-- missing: none; an axis that the target leaves open has the present offset
-- Each need is drawn towards the mean by sd_mm / sd_read_mm of its axis, so that the spread of the points is that of the true needs
-- (constrained empirical Bayes, Louis 1984, J. Amer. Statist. Assoc. 79, 393-398). A censored corner is placed at a quantile of its
-- truncated conditional distribution, (rank - 1/2) / n among the censored ones of its chassis and target, ranked as read.
-- column chassis VARCHAR: platform code
-- column target VARCHAR: target
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR
-- column out_mm DOUBLE [mm]: needed offset, outboard
-- column aft_mm DOUBLE [mm]: needed offset, rearward
-- column sets_out BOOLEAN: the target sets it (camber)
-- column sets_aft BOOLEAN: the target sets it (caster)
-- column censored BOOLEAN: placed, since only a limit is known
with
corners as (
    select
        needed_offsets.*,
        coalesce(need_out_mm, offset_out_mm) as out_mm,
        coalesce(need_aft_mm, offset_aft_mm) as aft_mm
    from needed_offsets
    where not set_apart
),
turned as (
    select
        *,
        out_mm * beyond_out + aft_mm * beyond_aft as along,
        aft_mm * beyond_out - out_mm * beyond_aft as across,
        mean_out_mm * beyond_out + mean_aft_mm * beyond_aft as mean_along,
        mean_aft_mm * beyond_out - mean_out_mm * beyond_aft as mean_across,
        beyond_out * beyond_out * var_oo_mm2 + 2 * beyond_out * beyond_aft * var_oa_mm2
            + beyond_aft * beyond_aft * var_aa_mm2 as var_along,
        beyond_out * beyond_out * var_aa_mm2 - 2 * beyond_out * beyond_aft * var_oa_mm2
            + beyond_aft * beyond_aft * var_oo_mm2 as var_across,
        (beyond_out * beyond_out - beyond_aft * beyond_aft) * var_oa_mm2
            + beyond_out * beyond_aft * (var_aa_mm2 - var_oo_mm2) as cov
    from corners
    inner join needed_moments using (chassis, target)
    where limit_mm is not null
),
conditional as (
    select
        *,
        mean_along + case when var_across > 1e-9 then cov / var_across else 0 end * (across - mean_across) as middle,
        sqrt(greatest(var_along - case when var_across > 1e-9 then cov * cov / var_across else 0 end, 1e-9)) as sd,
        (
            row_number() over (partition by chassis, target order by along - limit_mm, vehicle, corner) - 0.5
        ) / count(*) over (partition by chassis, target) as quantile
    from turned
),
placed as (
    select
        *,
        case
            when middle is null then along
            else greatest(
                middle - sd * normal_quantile((1 - quantile) * normal_cdf((middle - limit_mm) / sd)), limit_mm
            )
        end as placed_along
    from conditional
),
located as (
    select chassis, target, vehicle, corner, out_mm, aft_mm, need_out_mm, need_aft_mm, limit_mm
    from corners
    where limit_mm is null
    union all
    select
        chassis,
        target,
        vehicle,
        corner,
        placed_along * beyond_out - across * beyond_aft as out_mm,
        placed_along * beyond_aft + across * beyond_out as aft_mm,
        need_out_mm,
        need_aft_mm,
        limit_mm
    from placed
),
spreads as (
    select
        chassis,
        target,
        max(sd_mm / sd_read_mm) filter (where axis = 'out') as shrink_out,
        max(sd_mm / sd_read_mm) filter (where axis = 'aft') as shrink_aft
    from needed_spreads
    group by chassis, target
)
select
    chassis,
    target,
    vehicle,
    corner,
    coalesce(mean_out_mm + shrink_out * (out_mm - mean_out_mm), out_mm) as out_mm,
    coalesce(mean_aft_mm + shrink_aft * (aft_mm - mean_aft_mm), aft_mm) as aft_mm,
    need_out_mm is not null as sets_out,
    need_aft_mm is not null as sets_aft,
    limit_mm is not null as censored
from located
inner join needed_moments using (chassis, target)
left join spreads using (chassis, target)
