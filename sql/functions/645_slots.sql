-- Direction (struct of out, aft; length 1) of a plate's first scale in the vehicle frame, and of its second one; turn_deg: (plate_index
-- - 1) * index_step_deg; own: the plate of the corner's own side.
create or replace temp macro slot_direction(axis_deg, turn_deg, own) as {
    'out': case when own then 1 else -1 end * cos(radians(axis_deg + turn_deg)),
    'aft': sin(radians(axis_deg + turn_deg))
};
create or replace temp macro side_direction(axis_deg, turn_deg, own) as {
    'out': case when own then -1 else 1 end * sin(radians(axis_deg + turn_deg)),
    'aft': cos(radians(axis_deg + turn_deg))
};
-- How much a millimetre along `way` (struct of out, aft) changes an angle, absolute; NULL where it has no length.
create or replace temp macro along(angle, way) as
    abs(angle.slope_out * way.out + angle.slope_aft * way.aft) / nullif(sqrt(way.out * way.out + way.aft * way.aft), 0);
-- Move of the bearing (mm) that changes camber and caster by what is missing (deg); with one of them NULL, along the axis that moves
-- the other. camber, caster: struct with slope_out, slope_aft (deg/mm).
create or replace temp macro needed_move(camber, caster, camber_short, caster_short) as {
    'out': case
        when caster_short is null then camber_short / camber.slope_out
        when camber_short is null then 0
        else (camber_short * caster.slope_aft - caster_short * camber.slope_aft)
            / (camber.slope_out * caster.slope_aft - camber.slope_aft * caster.slope_out)
    end,
    'aft': case
        when camber_short is null then caster_short / caster.slope_aft
        when caster_short is null then 0
        else (caster_short * camber.slope_out - camber_short * caster.slope_out)
            / (camber.slope_out * caster.slope_aft - camber.slope_aft * caster.slope_out)
    end
};
