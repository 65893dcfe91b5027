-- title: Whether toe was set again after the bearing was moved
-- grain: one row per after of an install or adjust visit of a front corner
-- source: settings, chassis_targets, sensitivities, reading_noise
-- kept: as a view
-- missing: toe_state is NULL where the bearing was not moved, or where the sheet leaves it open and the readings do not tell
-- column chassis VARCHAR: platform code
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR
-- column visit VARCHAR: visit
-- column technician VARCHAR: who measured; NULL = not named
-- column toe_state VARCHAR: set; not set again (the sheet says so); as if not set again (toe is off by what the move makes of it)
-- column toe_deg DOUBLE [deg]: toe left, per wheel
-- column untouched_toe_deg DOUBLE [deg]: toe expected with the tie rod as it was found, per wheel
-- column source_file VARCHAR: file of the reading
-- column source_line INTEGER: line in that file
with
expected as (
    select
        settings.*,
        offset_out_mm - found_out_mm as move_out_mm,
        offset_aft_mm - found_aft_mm as move_aft_mm,
        slope_out * move_out_mm + slope_aft * move_aft_mm as toe_change_deg,
        sqrt(
            2 * sd_deg * sd_deg
            + slope_change_var(
                {'var_out': var_out + spread_var, 'var_aft': var_aft + spread_var, 'cov_out_aft': cov_out_aft},
                move_out_mm, move_aft_mm
            )
        ) as toe_change_sd_deg,
        chassis_targets.goal_toe_deg,
        chassis_targets.toe_tol_deg,
        case
            when not found then visit_kind = 'install'
            else kit is distinct from found_kit or coalesce(abs(move_out_mm) > 1e-3 or abs(move_aft_mm) > 1e-3, false)
        end as bearing_moved
    from settings
    inner join reading_noise on reading_noise.gauge is not distinct from settings.gauge
        and reading_noise.response = 'toe_deg'
    left join sensitivities on sensitivities.chassis = settings.chassis and sensitivities.response = 'toe_deg'
    left join chassis_targets on chassis_targets.chassis = settings.chassis and chassis_targets.target = settings.target
    where left_behind
)
select
    chassis,
    vehicle,
    corner,
    visit,
    technician,
    case
        when not bearing_moved then null
        when not tie_rods_turned then 'not set again'
        -- Off target, off what was found by over 3 sd, and where an untouched tie rod would leave it.
        when abs(toe_deg - goal_toe_deg) > toe_tol_deg
            and abs(toe_change_deg) > 3 * toe_change_sd_deg
            and abs(toe_deg - found_toe_deg - toe_change_deg) < 2 * toe_change_sd_deg
            then 'as if not set again'
        when toe_deg is not null then 'set'
    end as toe_state,
    toe_deg,
    found_toe_deg + toe_change_deg as untouched_toe_deg,
    source_file,
    source_line
from expected
