-- Every setting that the plates of the asked corners can take, with the angles to expect: one row per corner, target, hand, index and
-- marks, and the present one; target_order is NULL where no target can be judged. Searched by src/stats/settings; parameters as in
-- setting_problems, and mark_step: steps of the marks; any_clocking: all bolt positions and both plates, not only as they sit now.
create or replace temp macro reached_settings(
    asked_vehicles, asked_chassis, given_corners, asked_targets, asked_kit, mark_step, any_clocking
) as table
select unnest(
    from_json(
        reached_settings_of(
            cast(to_json({'corners': corners, 'step': mark_step, 'any_clocking': any_clocking}) as varchar)
        ),
        '[{
            "vehicle":"VARCHAR","corner":"VARCHAR","target_order":"BIGINT","plate_hand":"VARCHAR",
            "plate_index":"INTEGER","two_scales":"BOOLEAN","mark_min":"DOUBLE","mark_max":"DOUBLE",
            "mark2_min":"DOUBLE","mark2_max":"DOUBLE","stay":"BOOLEAN","mark_1":"DOUBLE","mark_2":"DOUBLE",
            "out_mm":"DOUBLE","aft_mm":"DOUBLE","camber_deg":"DOUBLE","caster_deg":"DOUBLE"
        }]'
    ),
    recursive := true
)
from setting_problems(asked_vehicles, asked_chassis, given_corners, asked_targets, asked_kit);
