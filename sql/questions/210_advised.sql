-- The setting to dial in: one row per vehicle, target and front corner, found by advisedSettings (src/stats/settings), which says how.
-- asked_index, asked_hand ('own', 'other'): clocking to ask about, or NULL for the present one, and for all of them where the kit is
-- not fitted yet; any_clocking: all of them; toe_units: {diameter_mm, arm_mm, turn_mm}, see src/stats/settings/toe.ts, or NULL.
-- short_*: change still needed to reach the tolerance; stop: what stands in the way. toe_*_deg per wheel; toe_put_back: what the
-- tie rods have to add for the target's toe, or the present toe where the target names none; toe_between_*: change from the first
-- target's setting to this one with the tie rods untouched; one_toe_deg: toe to set at the first target so that both are met best.
create or replace temp macro advised(
    asked_vehicles, given_corners, asked_targets, asked_kit, asked_index, asked_hand, mark_step, any_clocking,
    toe_units
) as table
select unnest(
    from_json(
        advised_settings_of(
            cast(
                to_json({
                    'corners': corners, 'step': mark_step, 'any_clocking': any_clocking, 'index': asked_index,
                    'hand': asked_hand, 'units': toe_units
                }) as varchar
            )
        ),
        '[{
            "vehicle":"VARCHAR","chassis":"VARCHAR","corner":"VARCHAR","target":"VARCHAR","target_order":"BIGINT",
            "kit":"VARCHAR","plate_hand":"VARCHAR","plate_index":"INTEGER","mark_1":"DOUBLE","mark_2":"DOUBLE",
            "mark_min":"DOUBLE","mark_max":"DOUBLE","mark2_min":"DOUBLE","mark2_max":"DOUBLE","present_kit":"VARCHAR",
            "present_hand":"VARCHAR","present_index":"INTEGER","present_mark_1":"DOUBLE","present_mark_2":"DOUBLE",
            "present_camber_deg":"DOUBLE","present_caster_deg":"DOUBLE","present_toe_deg":"DOUBLE","stay":"BOOLEAN",
            "same_clocking":"BOOLEAN","offset_out_mm":"DOUBLE","offset_aft_mm":"DOUBLE","move_out_mm":"DOUBLE",
            "move_aft_mm":"DOUBLE","camber_deg":"DOUBLE","camber_low_deg":"DOUBLE","camber_high_deg":"DOUBLE",
            "camber_shown_deg":"DOUBLE","camber_shown_low_deg":"DOUBLE","camber_shown_high_deg":"DOUBLE",
            "camber_repeat_sd_deg":"DOUBLE","camber_set_up_sd_deg":"DOUBLE","camber_bias_deg":"DOUBLE",
            "camber_bias_sd_deg":"DOUBLE","camber_move_sd_deg":"DOUBLE","caster_shown_deg":"DOUBLE",
            "caster_shown_low_deg":"DOUBLE","caster_shown_high_deg":"DOUBLE","caster_repeat_sd_deg":"DOUBLE",
            "caster_set_up_sd_deg":"DOUBLE","caster_bias_deg":"DOUBLE","caster_bias_sd_deg":"DOUBLE",
            "caster_move_sd_deg":"DOUBLE","caster_deg":"DOUBLE","caster_low_deg":"DOUBLE","caster_high_deg":"DOUBLE",
            "reachable":"BOOLEAN","p_in_tolerance":"DOUBLE","p_both":"DOUBLE","short_camber_deg":"DOUBLE",
            "short_caster_deg":"DOUBLE","short_out_mm":"DOUBLE","short_aft_mm":"DOUBLE","stop":"VARCHAR",
            "cross_camber_deg":"DOUBLE","cross_caster_deg":"DOUBLE","cross_camber_max_deg":"DOUBLE",
            "cross_caster_max_deg":"DOUBLE","target_cross_camber_deg":"DOUBLE","target_cross_caster_deg":"DOUBLE",
            "target_camber_deg":"DOUBLE","camber_tol_deg":"DOUBLE",
            "target_caster_deg":"DOUBLE","caster_tol_deg":"DOUBLE","target_toe_deg":"DOUBLE","toe_tol_deg":"DOUBLE",
            "toe_change_deg":"DOUBLE","toe_change_low_deg":"DOUBLE","toe_change_high_deg":"DOUBLE",
            "toe_total_change_deg":"DOUBLE","toe_total_change_low_deg":"DOUBLE","toe_total_change_high_deg":"DOUBLE",
            "toe_put_back_deg":"DOUBLE","toe_put_back_low_deg":"DOUBLE","toe_put_back_high_deg":"DOUBLE",
            "toe_put_back_mm":"DOUBLE","toe_put_back_low_mm":"DOUBLE","toe_put_back_high_mm":"DOUBLE",
            "toe_total_put_back_deg":"DOUBLE","toe_total_put_back_low_deg":"DOUBLE",
            "toe_total_put_back_high_deg":"DOUBLE","toe_total_put_back_mm":"DOUBLE","toe_between_deg":"DOUBLE",
            "toe_between_low_deg":"DOUBLE","toe_between_high_deg":"DOUBLE","toe_total_between_deg":"DOUBLE",
            "one_toe_deg":"DOUBLE","p_one_toe":"DOUBLE","camber_basis":"VARCHAR","caster_basis":"VARCHAR",
            "toe_basis":"VARCHAR","camber_move_count":"BIGINT","caster_move_count":"BIGINT","toe_move_count":"BIGINT",
            "asked":"VARCHAR","stopped_by":"VARCHAR","marks_alone":"BOOLEAN","toe_put_back_turns":"DOUBLE",
            "camber_change_deg":"DOUBLE","camber_change_low_deg":"DOUBLE","camber_change_high_deg":"DOUBLE",
            "caster_change_deg":"DOUBLE","caster_change_low_deg":"DOUBLE","caster_change_high_deg":"DOUBLE",
            "wanted_camber_deg":"DOUBLE","wanted_camber_within_deg":"DOUBLE","wanted_caster_deg":"DOUBLE",
            "wanted_caster_within_deg":"DOUBLE","p_camber_in_tolerance":"DOUBLE","p_caster_in_tolerance":"DOUBLE",
            "p_cross_camber":"DOUBLE","p_cross_caster":"DOUBLE"
        }]'
    ),
    recursive := true
)
from setting_problems(asked_vehicles, null::varchar, given_corners, asked_targets, asked_kit);
