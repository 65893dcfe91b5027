-- title: A change of angle far from what the chassis' other moves say
-- likely: the plate had slipped unseen, or an offset, sign or angle was written down wrong
-- mend: compare the row with the sheet and the pointer; correct it and load it with --replace
select
    moves.chassis,
    moves.vehicle,
    moves.corner,
    moves.visit,
    format(
        '{} changed by {:.2f} deg from {} to {}, {:.2f} expected from a move of {:.1f} mm out, {:.1f} mm aft',
        replace(response, '_deg', ''), change_deg, from_phase, to_phase, fitted_deg, move_out_mm, move_aft_mm
    ) as finding,
    1 - robust_weight as p_mistake,
    source_file,
    source_line
from moves
inner join move_fits using (chassis, vehicle, corner, visit, from_phase, to_phase, response)
where robust_weight < 0.5
