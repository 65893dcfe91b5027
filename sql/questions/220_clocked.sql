-- The ways to clock the pair, best first: one row per way, corner and target, found by clockedWays (src/stats/settings), which says how.
-- keep_caster: settings that leave less caster than the original mount do not count; the other parameters as in advised.
create or replace temp macro clocked(
    asked_vehicles, asked_chassis, given_corners, asked_targets, asked_kit, asked_index, asked_hand,
    mark_step, keep_caster
) as table
select unnest(
    from_json(
        clocked_ways_of(
            cast(
                to_json({
                    'corners': corners, 'step': mark_step, 'index': asked_index, 'hand': asked_hand,
                    'keep_caster': keep_caster
                }) as varchar
            )
        ),
        '[{
            "rank":"BIGINT","vehicle":"VARCHAR","chassis":"VARCHAR","corner":"VARCHAR","target":"VARCHAR",
            "target_order":"BIGINT","kit":"VARCHAR","plate_hand":"VARCHAR","plate_index":"INTEGER",
            "symmetrical":"BOOLEAN","own_hands":"BOOLEAN","present":"BOOLEAN","camber_min_deg":"DOUBLE",
            "camber_max_deg":"DOUBLE","caster_min_deg":"DOUBLE","caster_max_deg":"DOUBLE","mark_1":"DOUBLE",
            "mark_2":"DOUBLE","mark_min":"DOUBLE","mark_max":"DOUBLE","camber_deg":"DOUBLE","caster_deg":"DOUBLE",
            "camber_sd_deg":"DOUBLE","caster_sd_deg":"DOUBLE",
            "offset_out_mm":"DOUBLE","offset_aft_mm":"DOUBLE","present_camber_deg":"DOUBLE",
            "present_caster_deg":"DOUBLE","target_camber_deg":"DOUBLE","camber_tol_deg":"DOUBLE",
            "target_caster_deg":"DOUBLE","caster_tol_deg":"DOUBLE","allowed":"BOOLEAN","reachable":"BOOLEAN",
            "p_in_tolerance":"DOUBLE","p_all":"DOUBLE","spare_mm":"DOUBLE","short_camber_deg":"DOUBLE",
            "short_caster_deg":"DOUBLE","camber_basis":"VARCHAR","caster_basis":"VARCHAR",
            "caster_from_original_deg":"DOUBLE","p_camber_in_tolerance":"DOUBLE","p_caster_in_tolerance":"DOUBLE"
        }]'
    ),
    recursive := true
)
from setting_problems(asked_vehicles, asked_chassis, given_corners, asked_targets, asked_kit);
