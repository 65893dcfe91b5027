-- Bearing offset in the vehicle frame from a plate's marks (contract, section 3): struct of out_mm and aft_mm, rounded to
-- a millionth of a millimetre. axis_deg: direction of the first scale at index 1; turn_deg: (plate_index - 1) * index_step_deg;
-- other_hand: the plate of the other side's hand sits here, which mirrors the outboard part.
create or replace temp macro plate_offset(
    mark_1, mark_2, pitch_mm, axis_deg, centre_out_mm, centre_aft_mm, turn_deg, other_hand
) as
    list_transform(
        [{
            'out_mm': centre_out_mm + pitch_mm * (mark_1 * cos(radians(axis_deg)) - mark_2 * sin(radians(axis_deg))),
            'aft_mm': centre_aft_mm + pitch_mm * (mark_1 * sin(radians(axis_deg)) + mark_2 * cos(radians(axis_deg)))
        }],
        lambda v: {
            'out_mm': round(
                (
                    v.out_mm * cos(radians(turn_deg)) - v.aft_mm * sin(radians(turn_deg))
                ) * case when other_hand then -1 else 1 end,
                6
            ),
            'aft_mm': round(v.out_mm * sin(radians(turn_deg)) + v.aft_mm * cos(radians(turn_deg)), 6)
        }
    )[1];
