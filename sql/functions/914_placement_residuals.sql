-- Residuals (deg) of the changes between the states of a corner in a visit, and of the last one against other visits, for the places
-- that `states`, the name of a table like check_corners with slopes, says; their variances (deg2), and what those are at least,
-- whatever the places (..._least). Only for changes between states one of which stands where it is asked about (..._tried).
-- pair_share: the weight of each of these changes; three pairs of three states hold the information of two.
create or replace temp macro placement_residuals(states) as table
with
last_states as (
    select
        *,
        slope_of(
            camber_slope_out, camber_slope_aft, camber_var_out, camber_var_aft, camber_cov_out_aft
        ) as camber_slope,
        slope_of(
            caster_slope_out, caster_slope_aft, caster_var_out, caster_var_aft, caster_cov_out_aft
        ) as caster_slope,
        slope_of(sai_slope_out, sai_slope_aft, sai_var_out, sai_var_aft, sai_cov_out_aft) as sai_slope,
        move_between(
            before_out_mm, before_aft_mm, before_error_oo_mm2, before_error_oa_mm2, before_error_aa_mm2,
            moved_out_mm, moved_aft_mm, moved_error_oo_mm2, moved_error_oa_mm2, moved_error_aa_mm2
        ) as before_moved_move,
        move_between(
            before_out_mm, before_aft_mm, before_error_oo_mm2, before_error_oa_mm2, before_error_aa_mm2,
            after_out_mm, after_aft_mm, after_error_oo_mm2, after_error_oa_mm2, after_error_aa_mm2
        ) as before_after_move,
        move_between(
            moved_out_mm, moved_aft_mm, moved_error_oo_mm2, moved_error_oa_mm2, moved_error_aa_mm2,
            after_out_mm, after_aft_mm, after_error_oo_mm2, after_error_oa_mm2, after_error_aa_mm2
        ) as moved_after_move,
        -- From the original mount, where the level of the other visits is.
        move_of(
            case last_phase when 'before' then before_out_mm when 'moved' then moved_out_mm else after_out_mm end,
            case last_phase when 'before' then before_aft_mm when 'moved' then moved_aft_mm else after_aft_mm end,
            2
                * case last_phase when 'before' then before_error_oo_mm2
                when 'moved' then moved_error_oo_mm2 else after_error_oo_mm2 end,
            2
                * case last_phase when 'before' then before_error_oa_mm2
                when 'moved' then moved_error_oa_mm2 else after_error_oa_mm2 end,
            2
                * case last_phase when 'before' then before_error_aa_mm2
                when 'moved' then moved_error_aa_mm2 else after_error_aa_mm2 end
        ) as other_move
    from query_table(states)
),
residuals as (
    select
        * exclude (other_camber_deg, other_caster_deg, other_sai_deg),
        case when before_tried or moved_tried
            then residual(
                moved_camber_deg - before_camber_deg, camber_slope, before_moved_move
            ) end as before_moved_camber_deg,
        before_camber_var_deg2 + moved_camber_var_deg2
            + case when before_kit is distinct from moved_kit then camber_mount_var_deg2 else 0 end
            as before_moved_camber_least,
        before_moved_camber_least + move_var(camber_slope, before_moved_move) as before_moved_camber_var,
        case when before_tried or moved_tried
            then residual(
                moved_caster_deg - before_caster_deg, caster_slope, before_moved_move
            ) end as before_moved_caster_deg,
        before_caster_var_deg2 + moved_caster_var_deg2
            + case when before_kit is distinct from moved_kit then caster_mount_var_deg2 else 0 end
            as before_moved_caster_least,
        before_moved_caster_least + move_var(caster_slope, before_moved_move) as before_moved_caster_var,
        case when before_tried or moved_tried
            then residual(moved_sai_deg - before_sai_deg, sai_slope, before_moved_move) end as before_moved_sai_deg,
        before_sai_var_deg2 + moved_sai_var_deg2
            + case when before_kit is distinct from moved_kit then sai_mount_var_deg2 else 0 end
            as before_moved_sai_least,
        before_moved_sai_least + move_var(sai_slope, before_moved_move) as before_moved_sai_var,
        case when before_tried or after_tried
            then residual(
                after_camber_deg - before_camber_deg, camber_slope, before_after_move
            ) end as before_after_camber_deg,
        before_camber_var_deg2 + after_camber_var_deg2
            + case when before_kit is distinct from after_kit then camber_mount_var_deg2 else 0 end
            as before_after_camber_least,
        before_after_camber_least + move_var(camber_slope, before_after_move) as before_after_camber_var,
        case when before_tried or after_tried
            then residual(
                after_caster_deg - before_caster_deg, caster_slope, before_after_move
            ) end as before_after_caster_deg,
        before_caster_var_deg2 + after_caster_var_deg2
            + case when before_kit is distinct from after_kit then caster_mount_var_deg2 else 0 end
            as before_after_caster_least,
        before_after_caster_least + move_var(caster_slope, before_after_move) as before_after_caster_var,
        case when before_tried or after_tried
            then residual(after_sai_deg - before_sai_deg, sai_slope, before_after_move) end as before_after_sai_deg,
        before_sai_var_deg2 + after_sai_var_deg2
            + case when before_kit is distinct from after_kit then sai_mount_var_deg2 else 0 end
            as before_after_sai_least,
        before_after_sai_least + move_var(sai_slope, before_after_move) as before_after_sai_var,
        case when moved_tried or after_tried
            then residual(
                after_camber_deg - moved_camber_deg, camber_slope, moved_after_move
            ) end as moved_after_camber_deg,
        moved_camber_var_deg2 + after_camber_var_deg2
            + case when moved_kit is distinct from after_kit then camber_mount_var_deg2 else 0 end
            as moved_after_camber_least,
        moved_after_camber_least + move_var(camber_slope, moved_after_move) as moved_after_camber_var,
        case when moved_tried or after_tried
            then residual(
                after_caster_deg - moved_caster_deg, caster_slope, moved_after_move
            ) end as moved_after_caster_deg,
        moved_caster_var_deg2 + after_caster_var_deg2
            + case when moved_kit is distinct from after_kit then caster_mount_var_deg2 else 0 end
            as moved_after_caster_least,
        moved_after_caster_least + move_var(caster_slope, moved_after_move) as moved_after_caster_var,
        case when moved_tried or after_tried
            then residual(after_sai_deg - moved_sai_deg, sai_slope, moved_after_move) end as moved_after_sai_deg,
        moved_sai_var_deg2 + after_sai_var_deg2
            + case when moved_kit is distinct from after_kit then sai_mount_var_deg2 else 0 end
            as moved_after_sai_least,
        moved_after_sai_least + move_var(sai_slope, moved_after_move) as moved_after_sai_var,
        residual(
            case last_phase when 'before' then before_camber_deg
            when 'moved' then moved_camber_deg else after_camber_deg end - other_camber_deg, camber_slope, other_move
        )
            as other_camber_deg,
        case last_phase when 'before' then before_camber_var_deg2
            when 'moved' then moved_camber_var_deg2 else after_camber_var_deg2 end
            + other_camber_var_deg2 + camber_mount_var_deg2 as other_camber_least,
        other_camber_least + move_var(camber_slope, other_move) as other_camber_var,
        residual(
            case last_phase when 'before' then before_caster_deg
            when 'moved' then moved_caster_deg else after_caster_deg end - other_caster_deg, caster_slope, other_move
        )
            as other_caster_deg,
        case last_phase when 'before' then before_caster_var_deg2
            when 'moved' then moved_caster_var_deg2 else after_caster_var_deg2 end
            + other_caster_var_deg2 + caster_mount_var_deg2 as other_caster_least,
        other_caster_least + move_var(caster_slope, other_move) as other_caster_var,
        residual(
            case last_phase when 'before' then before_sai_deg when 'moved' then moved_sai_deg else after_sai_deg end
            - other_sai_deg, sai_slope, other_move
        )
            as other_sai_deg,
        case last_phase when 'before' then before_sai_var_deg2
            when 'moved' then moved_sai_var_deg2 else after_sai_var_deg2 end
            + other_sai_var_deg2 + sai_mount_var_deg2 as other_sai_least,
        other_sai_least + move_var(sai_slope, other_move) as other_sai_var,
        case
            when coalesce(before_moved_camber_deg, before_moved_caster_deg, before_moved_sai_deg) is not null
                and coalesce(before_after_camber_deg, before_after_caster_deg, before_after_sai_deg) is not null
                and coalesce(moved_after_camber_deg, moved_after_caster_deg, moved_after_sai_deg) is not null
            then 2.0 / 3
            else 1
        end as pair_share
    from last_states
)
select * from residuals;
-- One coordinate (mm, to the millionth) of the place where the pointers stand at these marks, from that of the plate's zero and what a
-- mark of each scale adds.
create or replace temp macro marked_mm(zero_mm, first_mm, second_mm, mark_1, mark_2) as
    round(zero_mm + (first_mm * mark_1 + second_mm * mark_2), 6);
