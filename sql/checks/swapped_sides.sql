-- title: Left and right of a visit that fit better exchanged
-- likely: the columns or rows of the left and the right front were swapped, in the whole visit or in one phase
-- mend: compare the rows of FL and FR of that visit with the sheet; exchange them and load them with --replace
-- explains: wrong_placement, lost_camber_sign, included_angle_jump, downweighted_moves
-- Compared on how far the angles moved with the offsets of their own side, and on what each side read in other visits. Prior
-- odds (from memory): whole visit 1 : 160, one phase 1 : 250. Where both sides are alike nothing can be told, and nothing is.
-- Only visits whose record as written fits so badly that the prior odds could be made up are looked at (misfit_of_three).
with
fronts as (
    select * from check_corners where corner in ('FL', 'FR')
),
-- One row per side: what it would read at offset 0, and how much more the other side read. Where that is missing nothing is compared.
sides as (
    select
        own.vehicle,
        own.corner,
        own.visit,
        own.before_camber_deg - camber_slope_out * own.before_out_mm - camber_slope_aft * own.before_aft_mm
            + case when other.before_out_mm is not null and other.before_camber_deg is not null
                then 0 end as before_camber_level_deg,
        own.before_caster_deg - caster_slope_out * own.before_out_mm - caster_slope_aft * own.before_aft_mm
            + case when other.before_out_mm is not null and other.before_caster_deg is not null
                then 0 end as before_caster_level_deg,
        own.before_sai_deg - sai_slope_out * own.before_out_mm - sai_slope_aft * own.before_aft_mm
            + case when other.before_out_mm is not null and other.before_sai_deg is not null
                then 0 end as before_sai_level_deg,
        own.moved_camber_deg - camber_slope_out * own.moved_out_mm - camber_slope_aft * own.moved_aft_mm
            + case when other.moved_out_mm is not null and other.moved_camber_deg is not null
                then 0 end as moved_camber_level_deg,
        own.moved_caster_deg - caster_slope_out * own.moved_out_mm - caster_slope_aft * own.moved_aft_mm
            + case when other.moved_out_mm is not null and other.moved_caster_deg is not null
                then 0 end as moved_caster_level_deg,
        own.moved_sai_deg - sai_slope_out * own.moved_out_mm - sai_slope_aft * own.moved_aft_mm
            + case when other.moved_out_mm is not null and other.moved_sai_deg is not null
                then 0 end as moved_sai_level_deg,
        own.after_camber_deg - camber_slope_out * own.after_out_mm - camber_slope_aft * own.after_aft_mm
            + case when other.after_out_mm is not null and other.after_camber_deg is not null
                then 0 end as after_camber_level_deg,
        own.after_caster_deg - caster_slope_out * own.after_out_mm - caster_slope_aft * own.after_aft_mm
            + case when other.after_out_mm is not null and other.after_caster_deg is not null
                then 0 end as after_caster_level_deg,
        own.after_sai_deg - sai_slope_out * own.after_out_mm - sai_slope_aft * own.after_aft_mm
            + case when other.after_out_mm is not null and other.after_sai_deg is not null
                then 0 end as after_sai_level_deg,
        other.before_camber_deg - own.before_camber_deg as before_camber_more_deg,
        other.before_caster_deg - own.before_caster_deg as before_caster_more_deg,
        other.before_sai_deg - own.before_sai_deg as before_sai_more_deg,
        other.moved_camber_deg - own.moved_camber_deg as moved_camber_more_deg,
        other.moved_caster_deg - own.moved_caster_deg as moved_caster_more_deg,
        other.moved_sai_deg - own.moved_sai_deg as moved_sai_more_deg,
        other.after_camber_deg - own.after_camber_deg as after_camber_more_deg,
        other.after_caster_deg - own.after_caster_deg as after_caster_more_deg,
        other.after_sai_deg - own.after_sai_deg as after_sai_more_deg,
        slope_of(
            camber_slope_out, camber_slope_aft, camber_var_out, camber_var_aft, camber_cov_out_aft
        ) as camber_slope,
        slope_of(
            caster_slope_out, caster_slope_aft, caster_var_out, caster_var_aft, caster_cov_out_aft
        ) as caster_slope,
        slope_of(sai_slope_out, sai_slope_aft, sai_var_out, sai_var_aft, sai_cov_out_aft) as sai_slope,
        move_between(
            own.before_out_mm, own.before_aft_mm, own.before_error_oo_mm2, own.before_error_oa_mm2,
            own.before_error_aa_mm2,
            own.moved_out_mm, own.moved_aft_mm, own.moved_error_oo_mm2, own.moved_error_oa_mm2, own.moved_error_aa_mm2
        ) as before_moved_move,
        move_between(
            own.before_out_mm, own.before_aft_mm, own.before_error_oo_mm2, own.before_error_oa_mm2,
            own.before_error_aa_mm2,
            own.after_out_mm, own.after_aft_mm, own.after_error_oo_mm2, own.after_error_oa_mm2, own.after_error_aa_mm2
        ) as before_after_move,
        move_between(
            own.moved_out_mm, own.moved_aft_mm, own.moved_error_oo_mm2, own.moved_error_oa_mm2, own.moved_error_aa_mm2,
            own.after_out_mm, own.after_aft_mm, own.after_error_oo_mm2, own.after_error_oa_mm2, own.after_error_aa_mm2
        ) as moved_after_move,
        case when own.before_kit is not distinct from own.moved_kit
            then own.before_camber_var_deg2 + own.moved_camber_var_deg2 + move_var(camber_slope, before_moved_move) end
            as before_moved_camber_var,
        case when own.before_kit is not distinct from own.moved_kit
            then own.before_caster_var_deg2 + own.moved_caster_var_deg2 + move_var(caster_slope, before_moved_move) end
            as before_moved_caster_var,
        case when own.before_kit is not distinct from own.moved_kit
            then own.before_sai_var_deg2 + own.moved_sai_var_deg2 + move_var(sai_slope, before_moved_move) end
            as before_moved_sai_var,
        case when own.before_kit is not distinct from own.after_kit
            then own.before_camber_var_deg2 + own.after_camber_var_deg2 + move_var(camber_slope, before_after_move) end
            as before_after_camber_var,
        case when own.before_kit is not distinct from own.after_kit
            then own.before_caster_var_deg2 + own.after_caster_var_deg2 + move_var(caster_slope, before_after_move) end
            as before_after_caster_var,
        case when own.before_kit is not distinct from own.after_kit
            then own.before_sai_var_deg2 + own.after_sai_var_deg2 + move_var(sai_slope, before_after_move) end
            as before_after_sai_var,
        case when own.moved_kit is not distinct from own.after_kit
            then own.moved_camber_var_deg2 + own.after_camber_var_deg2 + move_var(camber_slope, moved_after_move) end
            as moved_after_camber_var,
        case when own.moved_kit is not distinct from own.after_kit
            then own.moved_caster_var_deg2 + own.after_caster_var_deg2 + move_var(caster_slope, moved_after_move) end
            as moved_after_caster_var,
        case when own.moved_kit is not distinct from own.after_kit
            then own.moved_sai_var_deg2 + own.after_sai_var_deg2 + move_var(sai_slope, moved_after_move) end
            as moved_after_sai_var,
        mean_of_three(
            case when before_camber_level_deg is not null then own.before_camber_var_deg2 end,
            case when moved_camber_level_deg is not null then own.moved_camber_var_deg2 end,
            case when after_camber_level_deg is not null then own.after_camber_var_deg2 end
        )
            / (
                cast(before_camber_level_deg is not null as integer)
                + cast(moved_camber_level_deg is not null as integer)
                + cast(after_camber_level_deg is not null as integer)
            ) + camber_other_var_deg2 as camber_level_var,
        camber_other_deg,
        mean_of_three(
            case when before_caster_level_deg is not null then own.before_caster_var_deg2 end,
            case when moved_caster_level_deg is not null then own.moved_caster_var_deg2 end,
            case when after_caster_level_deg is not null then own.after_caster_var_deg2 end
        )
            / (
                cast(before_caster_level_deg is not null as integer)
                + cast(moved_caster_level_deg is not null as integer)
                + cast(after_caster_level_deg is not null as integer)
            ) + caster_other_var_deg2 as caster_level_var,
        caster_other_deg,
        mean_of_three(
            case when before_sai_level_deg is not null then own.before_sai_var_deg2 end,
            case when moved_sai_level_deg is not null then own.moved_sai_var_deg2 end,
            case when after_sai_level_deg is not null then own.after_sai_var_deg2 end
        )
            / (
                cast(before_sai_level_deg is not null as integer) + cast(moved_sai_level_deg is not null as integer)
                + cast(after_sai_level_deg is not null as integer)
            ) + sai_other_var_deg2 as sai_level_var,
        sai_other_deg,
        coalesce(before_camber_level_deg, before_caster_level_deg, before_sai_level_deg) is not null as has_before,
        coalesce(moved_camber_level_deg, moved_caster_level_deg, moved_sai_level_deg) is not null as has_moved,
        coalesce(after_camber_level_deg, after_caster_level_deg, after_sai_level_deg) is not null as has_after,
        cast(has_before as integer) + cast(has_moved as integer) + cast(has_after as integer) as phase_count,
        case when phase_count = 3 then 2 / cast(3 as double) else 1 end as share
    from fronts as own
    inner join fronts as other on other.vehicle = own.vehicle and other.visit = own.visit and other.corner <> own.corner
    inner join check_slopes on check_slopes.chassis = own.chassis and check_slopes.vehicle = own.vehicle
    inner join check_levels
        on check_levels.vehicle = own.vehicle and check_levels.corner = own.corner and check_levels.visit = own.visit
),
misfits as (
    select
        vehicle,
        visit,
        share * misfit_of_three(
                moved_camber_level_deg - before_camber_level_deg, before_moved_camber_var,
                moved_caster_level_deg - before_caster_level_deg, before_moved_caster_var,
                moved_sai_level_deg - before_sai_level_deg, before_moved_sai_var
            )
            + share * misfit_of_three(
                after_camber_level_deg - before_camber_level_deg, before_after_camber_var,
                after_caster_level_deg - before_caster_level_deg, before_after_caster_var,
                after_sai_level_deg - before_sai_level_deg, before_after_sai_var
            )
            + share * misfit_of_three(
                after_camber_level_deg - moved_camber_level_deg, moved_after_camber_var,
                after_caster_level_deg - moved_caster_level_deg, moved_after_caster_var,
                after_sai_level_deg - moved_sai_level_deg, moved_after_sai_var
            )
            + misfit_of_three(
                mean_of_three(before_camber_level_deg, moved_camber_level_deg, after_camber_level_deg)
                    - camber_other_deg, camber_level_var,
                mean_of_three(before_caster_level_deg, moved_caster_level_deg, after_caster_level_deg)
                    - caster_other_deg, caster_level_var,
                mean_of_three(before_sai_level_deg, moved_sai_level_deg, after_sai_level_deg)
                    - sai_other_deg, sai_level_var
            ) as misfit
    from sides
),
suspects as (
    select vehicle, visit from misfits group by vehicle, visit having sum(misfit) >= ln(0.99 / 0.01)
),
explanations as (
    select *
    from (
        values
            ('none', cast(0.99 as double), 0, 0, 0),
            ('all', 0.006, 1, 1, 1),
            ('before', 0.004, 1, 0, 0),
            ('moved', 0.004, 0, 1, 0),
            ('after', 0.004, 0, 0, 1)
    ) as explanations(swapped, prior, before_swapped, moved_swapped, after_swapped)
),
explained as (
    select
        sides.* replace (
            before_camber_level_deg + before_swapped * before_camber_more_deg as before_camber_level_deg,
            before_caster_level_deg + before_swapped * before_caster_more_deg as before_caster_level_deg,
            before_sai_level_deg + before_swapped * before_sai_more_deg as before_sai_level_deg,
            moved_camber_level_deg + moved_swapped * moved_camber_more_deg as moved_camber_level_deg,
            moved_caster_level_deg + moved_swapped * moved_caster_more_deg as moved_caster_level_deg,
            moved_sai_level_deg + moved_swapped * moved_sai_more_deg as moved_sai_level_deg,
            after_camber_level_deg + after_swapped * after_camber_more_deg as after_camber_level_deg,
            after_caster_level_deg + after_swapped * after_caster_more_deg as after_caster_level_deg,
            after_sai_level_deg + after_swapped * after_sai_more_deg as after_sai_level_deg
        ),
        swapped,
        case when swapped in ('none', 'all') then prior else prior / phase_count end as prior
    from sides
    semi join suspects using (vehicle, visit)
    inner join explanations
        on swapped in ('none', 'all')
        or phase_count > 1 and case swapped when 'before' then has_before when 'moved' then has_moved else has_after end
),
residuals as (
    select
        *,
        moved_camber_level_deg - before_camber_level_deg as before_moved_camber_deg,
        moved_caster_level_deg - before_caster_level_deg as before_moved_caster_deg,
        moved_sai_level_deg - before_sai_level_deg as before_moved_sai_deg,
        after_camber_level_deg - before_camber_level_deg as before_after_camber_deg,
        after_caster_level_deg - before_caster_level_deg as before_after_caster_deg,
        after_sai_level_deg - before_sai_level_deg as before_after_sai_deg,
        after_camber_level_deg - moved_camber_level_deg as moved_after_camber_deg,
        after_caster_level_deg - moved_caster_level_deg as moved_after_caster_deg,
        after_sai_level_deg - moved_sai_level_deg as moved_after_sai_deg,
        mean_of_three(before_camber_level_deg, moved_camber_level_deg, after_camber_level_deg)
            - camber_other_deg as camber_level_deg,
        mean_of_three(before_caster_level_deg, moved_caster_level_deg, after_caster_level_deg)
            - caster_other_deg as caster_level_deg,
        mean_of_three(before_sai_level_deg, moved_sai_level_deg, after_sai_level_deg) - sai_other_deg as sai_level_deg
    from explained
),
compared as (
    select
        *,
        log_mixed_three(
            before_moved_camber_deg, before_moved_camber_var, before_moved_caster_deg, before_moved_caster_var,
            before_moved_sai_deg, before_moved_sai_var
        ) as before_moved,
        log_mixed_three(
            before_after_camber_deg, before_after_camber_var, before_after_caster_deg, before_after_caster_var,
            before_after_sai_deg, before_after_sai_var
        ) as before_after,
        log_mixed_three(
            moved_after_camber_deg, moved_after_camber_var, moved_after_caster_deg, moved_after_caster_var,
            moved_after_sai_deg, moved_after_sai_var
        ) as moved_after,
        log_mixed_three(
            camber_level_deg, camber_level_var, caster_level_deg, caster_level_var, sai_level_deg, sai_level_var
        ) as level
    from residuals
),
weighed as materialized (
    select
        vehicle,
        visit,
        swapped,
        any_value(has_before) as has_before,
        any_value(has_moved) as has_moved,
        any_value(has_after) as has_after,
        ln(any_value(prior)) + sum(
            share * (before_moved + before_after + moved_after) + level
        ) as log_weight
    from compared
    group by vehicle, visit, swapped
),
-- Whose other explanations, four at most, are together likelier than the record as written.
doubted as (
    select vehicle, visit
    from weighed
    group by vehicle, visit
    having max(log_weight) filter (where swapped <> 'none') + ln(4) >= max(log_weight) filter (where swapped = 'none')
),
likely as (
    select *, exp(log_weight - peak) / sum(exp(log_weight - peak)) over same_visit as p
    from (
        select *, max(log_weight) over (partition by vehicle, visit) as peak from weighed
        semi join doubted using (vehicle, visit)
    )
    window same_visit as (
        partition by vehicle, visit order by swapped rows between unbounded preceding and unbounded following
    )
),
judged as (
    select
        vehicle,
        visit,
        any_value(has_before) as has_before,
        any_value(has_moved) as has_moved,
        any_value(has_after) as has_after,
        1 - max(p) filter (where swapped = 'none') as p_mistake,
        list(swapped order by swapped) filter (where swapped <> 'none' and p > 0.1) as candidates
    from likely
    group by vehicle, visit
)
select
    any_value(states.chassis) as chassis,
    judged.vehicle,
    cast(null as varchar) as corner,
    judged.visit,
    'the angles of FL and FR fit their offsets and other visits when exchanged in '
        || case
            when candidates = ['all'] then 'all phases'
            when len(candidates) = 1 then format('the {} rows', candidates[1])
            else format('some phase ({}: which one cannot be told)', array_to_string(candidates, ', '))
        end as finding,
    judged.p_mistake,
    min(source_file) as source_file,
    arg_min(source_line, (source_file, source_line)) as source_line
from judged
inner join states using (vehicle, visit)
where p_mistake >= 0.5 and len(candidates) > 0 and corner in ('FL', 'FR')
    and case phase when 'before' then has_before when 'moved' then has_moved else has_after end
group by judged.vehicle, judged.visit, candidates, judged.p_mistake
