-- The direction that counts beyond an end of a scale (struct of out, aft), from the direction end_out, end_aft (length 1): with one
-- angle only, how it moves that angle along its axis. camber, caster: struct of short (what the angle lacks, deg; NULL where the target
-- does not name it), tol (its tolerance), slope_out and slope_aft (deg/mm).
create or replace temp macro past_end_direction(camber, caster, end_out, end_aft) as {
    'out': case
        when camber.short is null then 0
        when caster.short is null then sign(camber.slope_out * end_out + camber.slope_aft * end_aft)
        else end_out
    end,
    'aft': case
        when camber.short is null then sign(caster.slope_out * end_out + caster.slope_aft * end_aft)
        when caster.short is null then 0
        else end_aft
    end
};
-- From where along that direction (mm past the end) an angle that is missed, and would come nearer beyond the end, comes within
-- tolerance, the part of the move across the direction being given; NULL where it is not missed so. Under 0.02 deg per mm an angle is
-- left to the other scale, or to another index. angle: such a struct; move: from the present offset to the need (struct of out, aft; mm).
create or replace temp macro past_end_limit(angle, end_out, end_aft, direction, move) as
    case
        when abs(angle.short) > angle.tol
            and angle.short * (angle.slope_out * end_out + angle.slope_aft * end_aft) > 0
            and abs(angle.slope_out * end_out + angle.slope_aft * end_aft) > 0.02
        then (
            sign(angle.short) * angle.tol
            - (
                angle.slope_aft * direction.out - angle.slope_out * direction.aft
            ) * (move.aft * direction.out - move.out * direction.aft)
        ) / (angle.slope_out * direction.out + angle.slope_aft * direction.aft)
    end;
-- Of both angles: that limit, and how far the need lies past the end along the direction (struct, mm).
create or replace temp macro past_end(camber, caster, end_out, end_aft, direction, move) as {
    'limit_mm': greatest(
        past_end_limit(camber, end_out, end_aft, direction, move),
        past_end_limit(caster, end_out, end_aft, direction, move)
    ),
    'past_mm': move.out * direction.out + move.aft * direction.aft
};
