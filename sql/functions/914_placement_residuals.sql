-- Residuals (deg) of the changes between the states of a corner in a visit, and of the last one against other visits, for the places
-- that `states`, the name of a table like check_corners with slopes, says; their variances (deg2), and what those are at least,
-- whatever the places (..._least). Only for changes between states one of which stands where it is asked about (..._tried).
create or replace temp macro placement_residuals(states) as table
with
last_states as (
    select
        *,
        case last_phase when 'before' then before_out_mm when 'moved' then moved_out_mm else after_out_mm end as last_out_mm,
        case last_phase when 'before' then before_aft_mm when 'moved' then moved_aft_mm else after_aft_mm end as last_aft_mm,
        2 * case last_phase when 'before' then before_error_oo_mm2 when 'moved' then moved_error_oo_mm2 else after_error_oo_mm2 end as last_error_oo_mm2,
        2 * case last_phase when 'before' then before_error_oa_mm2 when 'moved' then moved_error_oa_mm2 else after_error_oa_mm2 end as last_error_oa_mm2,
        2 * case last_phase when 'before' then before_error_aa_mm2 when 'moved' then moved_error_aa_mm2 else after_error_aa_mm2 end as last_error_aa_mm2
    from query_table(states)
),
residuals as (
    select
        * exclude (other_camber_deg, other_caster_deg, other_sai_deg),
        case when before_tried or moved_tried then
            moved_camber_deg - before_camber_deg - camber_slope_out * (moved_out_mm - before_out_mm) - camber_slope_aft * (moved_aft_mm - before_aft_mm)
        end as before_moved_camber_deg,
        before_camber_var_deg2 + moved_camber_var_deg2 + case when before_kit is distinct from moved_kit then camber_mount_var_deg2 else 0 end
            as before_moved_camber_least,
        before_moved_camber_least + move_var(
            camber_slope_out, camber_slope_aft, camber_var_out, camber_var_aft, camber_cov_out_aft,
            moved_out_mm - before_out_mm,
            moved_aft_mm - before_aft_mm,
            before_error_oo_mm2 + moved_error_oo_mm2,
            before_error_oa_mm2 + moved_error_oa_mm2,
            before_error_aa_mm2 + moved_error_aa_mm2
        ) as before_moved_camber_var,
        case when before_tried or moved_tried then
            moved_caster_deg - before_caster_deg - caster_slope_out * (moved_out_mm - before_out_mm) - caster_slope_aft * (moved_aft_mm - before_aft_mm)
        end as before_moved_caster_deg,
        before_caster_var_deg2 + moved_caster_var_deg2 + case when before_kit is distinct from moved_kit then caster_mount_var_deg2 else 0 end
            as before_moved_caster_least,
        before_moved_caster_least + move_var(
            caster_slope_out, caster_slope_aft, caster_var_out, caster_var_aft, caster_cov_out_aft,
            moved_out_mm - before_out_mm,
            moved_aft_mm - before_aft_mm,
            before_error_oo_mm2 + moved_error_oo_mm2,
            before_error_oa_mm2 + moved_error_oa_mm2,
            before_error_aa_mm2 + moved_error_aa_mm2
        ) as before_moved_caster_var,
        case when before_tried or moved_tried then
            moved_sai_deg - before_sai_deg - sai_slope_out * (moved_out_mm - before_out_mm) - sai_slope_aft * (moved_aft_mm - before_aft_mm)
        end as before_moved_sai_deg,
        before_sai_var_deg2 + moved_sai_var_deg2 + case when before_kit is distinct from moved_kit then sai_mount_var_deg2 else 0 end
            as before_moved_sai_least,
        before_moved_sai_least + move_var(
            sai_slope_out, sai_slope_aft, sai_var_out, sai_var_aft, sai_cov_out_aft,
            moved_out_mm - before_out_mm,
            moved_aft_mm - before_aft_mm,
            before_error_oo_mm2 + moved_error_oo_mm2,
            before_error_oa_mm2 + moved_error_oa_mm2,
            before_error_aa_mm2 + moved_error_aa_mm2
        ) as before_moved_sai_var,
        case when before_tried or after_tried then
            after_camber_deg - before_camber_deg - camber_slope_out * (after_out_mm - before_out_mm) - camber_slope_aft * (after_aft_mm - before_aft_mm)
        end as before_after_camber_deg,
        before_camber_var_deg2 + after_camber_var_deg2 + case when before_kit is distinct from after_kit then camber_mount_var_deg2 else 0 end
            as before_after_camber_least,
        before_after_camber_least + move_var(
            camber_slope_out, camber_slope_aft, camber_var_out, camber_var_aft, camber_cov_out_aft,
            after_out_mm - before_out_mm,
            after_aft_mm - before_aft_mm,
            before_error_oo_mm2 + after_error_oo_mm2,
            before_error_oa_mm2 + after_error_oa_mm2,
            before_error_aa_mm2 + after_error_aa_mm2
        ) as before_after_camber_var,
        case when before_tried or after_tried then
            after_caster_deg - before_caster_deg - caster_slope_out * (after_out_mm - before_out_mm) - caster_slope_aft * (after_aft_mm - before_aft_mm)
        end as before_after_caster_deg,
        before_caster_var_deg2 + after_caster_var_deg2 + case when before_kit is distinct from after_kit then caster_mount_var_deg2 else 0 end
            as before_after_caster_least,
        before_after_caster_least + move_var(
            caster_slope_out, caster_slope_aft, caster_var_out, caster_var_aft, caster_cov_out_aft,
            after_out_mm - before_out_mm,
            after_aft_mm - before_aft_mm,
            before_error_oo_mm2 + after_error_oo_mm2,
            before_error_oa_mm2 + after_error_oa_mm2,
            before_error_aa_mm2 + after_error_aa_mm2
        ) as before_after_caster_var,
        case when before_tried or after_tried then
            after_sai_deg - before_sai_deg - sai_slope_out * (after_out_mm - before_out_mm) - sai_slope_aft * (after_aft_mm - before_aft_mm)
        end as before_after_sai_deg,
        before_sai_var_deg2 + after_sai_var_deg2 + case when before_kit is distinct from after_kit then sai_mount_var_deg2 else 0 end
            as before_after_sai_least,
        before_after_sai_least + move_var(
            sai_slope_out, sai_slope_aft, sai_var_out, sai_var_aft, sai_cov_out_aft,
            after_out_mm - before_out_mm,
            after_aft_mm - before_aft_mm,
            before_error_oo_mm2 + after_error_oo_mm2,
            before_error_oa_mm2 + after_error_oa_mm2,
            before_error_aa_mm2 + after_error_aa_mm2
        ) as before_after_sai_var,
        case when moved_tried or after_tried then
            after_camber_deg - moved_camber_deg - camber_slope_out * (after_out_mm - moved_out_mm) - camber_slope_aft * (after_aft_mm - moved_aft_mm)
        end as moved_after_camber_deg,
        moved_camber_var_deg2 + after_camber_var_deg2 + case when moved_kit is distinct from after_kit then camber_mount_var_deg2 else 0 end
            as moved_after_camber_least,
        moved_after_camber_least + move_var(
            camber_slope_out, camber_slope_aft, camber_var_out, camber_var_aft, camber_cov_out_aft,
            after_out_mm - moved_out_mm,
            after_aft_mm - moved_aft_mm,
            moved_error_oo_mm2 + after_error_oo_mm2,
            moved_error_oa_mm2 + after_error_oa_mm2,
            moved_error_aa_mm2 + after_error_aa_mm2
        ) as moved_after_camber_var,
        case when moved_tried or after_tried then
            after_caster_deg - moved_caster_deg - caster_slope_out * (after_out_mm - moved_out_mm) - caster_slope_aft * (after_aft_mm - moved_aft_mm)
        end as moved_after_caster_deg,
        moved_caster_var_deg2 + after_caster_var_deg2 + case when moved_kit is distinct from after_kit then caster_mount_var_deg2 else 0 end
            as moved_after_caster_least,
        moved_after_caster_least + move_var(
            caster_slope_out, caster_slope_aft, caster_var_out, caster_var_aft, caster_cov_out_aft,
            after_out_mm - moved_out_mm,
            after_aft_mm - moved_aft_mm,
            moved_error_oo_mm2 + after_error_oo_mm2,
            moved_error_oa_mm2 + after_error_oa_mm2,
            moved_error_aa_mm2 + after_error_aa_mm2
        ) as moved_after_caster_var,
        case when moved_tried or after_tried then
            after_sai_deg - moved_sai_deg - sai_slope_out * (after_out_mm - moved_out_mm) - sai_slope_aft * (after_aft_mm - moved_aft_mm)
        end as moved_after_sai_deg,
        moved_sai_var_deg2 + after_sai_var_deg2 + case when moved_kit is distinct from after_kit then sai_mount_var_deg2 else 0 end
            as moved_after_sai_least,
        moved_after_sai_least + move_var(
            sai_slope_out, sai_slope_aft, sai_var_out, sai_var_aft, sai_cov_out_aft,
            after_out_mm - moved_out_mm,
            after_aft_mm - moved_aft_mm,
            moved_error_oo_mm2 + after_error_oo_mm2,
            moved_error_oa_mm2 + after_error_oa_mm2,
            moved_error_aa_mm2 + after_error_aa_mm2
        ) as moved_after_sai_var,
        case last_phase when 'before' then before_camber_deg when 'moved' then moved_camber_deg else after_camber_deg end - other_camber_deg
            - camber_slope_out * last_out_mm - camber_slope_aft * last_aft_mm as other_camber_deg,
        case last_phase when 'before' then before_camber_var_deg2 when 'moved' then moved_camber_var_deg2 else after_camber_var_deg2 end
            + other_camber_var_deg2 + camber_mount_var_deg2 as other_camber_least,
        other_camber_least + move_var(
            camber_slope_out, camber_slope_aft, camber_var_out, camber_var_aft, camber_cov_out_aft,
            last_out_mm, last_aft_mm, last_error_oo_mm2, last_error_oa_mm2, last_error_aa_mm2
        ) as other_camber_var,
        case last_phase when 'before' then before_caster_deg when 'moved' then moved_caster_deg else after_caster_deg end - other_caster_deg
            - caster_slope_out * last_out_mm - caster_slope_aft * last_aft_mm as other_caster_deg,
        case last_phase when 'before' then before_caster_var_deg2 when 'moved' then moved_caster_var_deg2 else after_caster_var_deg2 end
            + other_caster_var_deg2 + caster_mount_var_deg2 as other_caster_least,
        other_caster_least + move_var(
            caster_slope_out, caster_slope_aft, caster_var_out, caster_var_aft, caster_cov_out_aft,
            last_out_mm, last_aft_mm, last_error_oo_mm2, last_error_oa_mm2, last_error_aa_mm2
        ) as other_caster_var,
        case last_phase when 'before' then before_sai_deg when 'moved' then moved_sai_deg else after_sai_deg end - other_sai_deg
            - sai_slope_out * last_out_mm - sai_slope_aft * last_aft_mm as other_sai_deg,
        case last_phase when 'before' then before_sai_var_deg2 when 'moved' then moved_sai_var_deg2 else after_sai_var_deg2 end
            + other_sai_var_deg2 + sai_mount_var_deg2 as other_sai_least,
        other_sai_least + move_var(
            sai_slope_out, sai_slope_aft, sai_var_out, sai_var_aft, sai_cov_out_aft,
            last_out_mm, last_aft_mm, last_error_oo_mm2, last_error_oa_mm2, last_error_aa_mm2
        ) as other_sai_var
    from last_states
)
select * from residuals;
