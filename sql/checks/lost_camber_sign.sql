-- title: Camber that fits only with the other sign
-- likely: the minus sign of a camber was lost, or one was added
-- mend: compare the camber of these rows with the sheet; correct the sign and load them with --replace
-- explains: included_angle_jump, downweighted_moves
-- Tried per corner and visit: all phases, or one, with the sign reversed, against the camber change that the offsets allow, and
-- against the corner's other visits or, without any, the other side of the car. Prior odds (from memory): all phases 1 : 250,
-- one phase 1 : 250; one grossly wrong comparison in ten is allowed for.
-- Only corners whose record as written fits so badly that the prior odds could be made up are looked at (misfit).
with
compared as (
    select
        check_corners.*,
        check_levels.camber_other_count,
        slope_of(
            camber_slope_out, camber_slope_aft, camber_var_out, camber_var_aft, camber_cov_out_aft
        ) as camber_slope,
        before_camber_deg - camber_slope_out * before_out_mm - camber_slope_aft * before_aft_mm as before_level_deg,
        moved_camber_deg - camber_slope_out * moved_out_mm - camber_slope_aft * moved_aft_mm as moved_level_deg,
        after_camber_deg - camber_slope_out * after_out_mm - camber_slope_aft * after_aft_mm as after_level_deg,
        before_camber_var_deg2
            + moved_camber_var_deg2
            + case when before_kit is distinct from moved_kit then camber_mount_var_deg2 else 0 end
            + move_var(
                camber_slope,
                move_of(
                    moved_out_mm - before_out_mm,
                    moved_aft_mm - before_aft_mm,
                    coalesce(before_error_oo_mm2 + moved_error_oo_mm2, 0),
                    coalesce(before_error_oa_mm2 + moved_error_oa_mm2, 0),
                    coalesce(before_error_aa_mm2 + moved_error_aa_mm2, 0)
                )
            ) as before_moved_var,
        before_camber_var_deg2
            + after_camber_var_deg2
            + case when before_kit is distinct from after_kit then camber_mount_var_deg2 else 0 end
            + move_var(
                camber_slope,
                move_of(
                    after_out_mm - before_out_mm,
                    after_aft_mm - before_aft_mm,
                    coalesce(before_error_oo_mm2 + after_error_oo_mm2, 0),
                    coalesce(before_error_oa_mm2 + after_error_oa_mm2, 0),
                    coalesce(before_error_aa_mm2 + after_error_aa_mm2, 0)
                )
            ) as before_after_var,
        moved_camber_var_deg2
            + after_camber_var_deg2
            + case when moved_kit is distinct from after_kit then camber_mount_var_deg2 else 0 end
            + move_var(
                camber_slope,
                move_of(
                    after_out_mm - moved_out_mm,
                    after_aft_mm - moved_aft_mm,
                    coalesce(moved_error_oo_mm2 + after_error_oo_mm2, 0),
                    coalesce(moved_error_oa_mm2 + after_error_oa_mm2, 0),
                    coalesce(moved_error_aa_mm2 + after_error_aa_mm2, 0)
                )
            ) as moved_after_var,
        -- The level of the whole visit, against other visits or, without them, the other side as it is written.
        coalesce(check_levels.camber_other_deg, opposite.camber_level_deg) as other_deg,
        check_levels.camber_level_var_deg2
            + coalesce(check_levels.camber_other_var_deg2, camber_side_var_deg2) as level_var,
        check_levels.camber_level_deg,
        cast(before_level_deg is not null as integer)
            + cast(moved_level_deg is not null as integer)
            + cast(after_level_deg is not null as integer) as phase_count,
        case when phase_count = 3 then 2 / cast(3 as double) else 1 end as share
    from check_corners
    inner join check_slopes using (chassis, vehicle)
    inner join check_levels using (vehicle, corner, visit)
    left join check_levels as opposite
        on opposite.vehicle = check_corners.vehicle
        and opposite.corner = left(check_corners.corner, 1)
            || case right(check_corners.corner, 1) when 'L' then 'R' else 'L' end
        and opposite.visit = check_corners.visit
    cross join check_spreads
),
suspects as (
    select *
    from compared
    where coalesce(share * misfit(moved_level_deg - before_level_deg, before_moved_var), 0)
        + coalesce(share * misfit(after_level_deg - before_level_deg, before_after_var), 0)
        + coalesce(share * misfit(after_level_deg - moved_level_deg, moved_after_var), 0)
        + coalesce(misfit(camber_level_deg - other_deg, level_var), 0) >= ln(0.992 / 0.008)
),
explanations as (
    select *
    from (
        values
            ('none', cast(0.992 as double), false, false, false),
            ('all', 0.004, true, true, true),
            ('before', 0.004, true, false, false),
            ('moved', 0.004, false, true, false),
            ('after', 0.004, false, false, true)
    ) as explanations(reversed, prior, before_reversed, moved_reversed, after_reversed)
),
explained as (
    select
        * replace (
            case when reversed in ('none', 'all') then prior else prior / phase_count end as prior,
            before_level_deg - case when before_reversed then 2 * before_camber_read_deg else 0 end as before_level_deg,
            moved_level_deg - case when moved_reversed then 2 * moved_camber_read_deg else 0 end as moved_level_deg,
            after_level_deg - case when after_reversed then 2 * after_camber_read_deg else 0 end as after_level_deg
        )
    from suspects
    inner join explanations
        on reversed in ('none', 'all')
        or phase_count > 1 and case reversed
            when 'before' then suspects.before_level_deg
            when 'moved' then suspects.moved_level_deg
            else suspects.after_level_deg
        end is not null
),
weighed as (
    select
        *,
        ln(prior)
            + share * coalesce(log_mixed_normal(after_level_deg - before_level_deg, before_after_var), 0)
            + share * coalesce(log_mixed_normal(moved_level_deg - before_level_deg, before_moved_var), 0)
            + coalesce(
                log_mixed_normal(
                    mean_of_three(before_level_deg, moved_level_deg, after_level_deg) - other_deg, level_var
                ), 0
            )
            + share * coalesce(log_mixed_normal(after_level_deg - moved_level_deg, moved_after_var), 0) as log_weight
    from explained
),
likely as (
    select *, exp(log_weight - peak) / sum(exp(log_weight - peak)) over same_corner as p
    from (select *, max(log_weight) over (partition by vehicle, corner, visit) as peak from weighed)
    window same_corner as (
        partition by vehicle, corner, visit order by reversed rows between unbounded preceding and unbounded following
    )
),
judged as (
    select
        vehicle,
        corner,
        visit,
        any_value(camber_other_count) as other_count,
        1 - max(p) filter (where reversed = 'none') as p_mistake,
        list(reversed order by reversed) filter (where reversed <> 'none' and p > 0.2 * best) as candidates
    from (
        select *, max(p) filter (where reversed <> 'none') over (partition by vehicle, corner, visit) as best
        from likely
    )
    group by vehicle, corner, visit
)
select
    any_value(states.chassis) as chassis,
    vehicle,
    corner,
    visit,
    format(
        'camber {} would fit {} with the other sign{}',
        case
            when len(candidates) = 1
                then string_agg(format('{:.2f} ({})', camber_deg, phase), ', ' order by phase_order)
            else string_agg(format('{:.2f} ({})', camber_deg, phase), ' or ' order by phase_order)
        end,
        case when any_value(other_count) > 0 then 'the other visits' else 'the other side' end,
        case when len(candidates) = 1 then '' else ': which of them cannot be told' end
    ) as finding,
    p_mistake,
    arg_min(source_file, phase_order) as source_file,
    arg_min(source_line, phase_order) as source_line, 'camber' as angle
from judged
inner join states using (vehicle, corner, visit)
where p_mistake >= 0.5
    and (list_contains(candidates, 'all') or list_contains(candidates, phase))
    and camber_deg is not null and (offset_out_mm is not null or corner in ('RL', 'RR'))
group by vehicle, corner, visit, p_mistake, candidates
