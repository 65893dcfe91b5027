-- The direction that counts beyond an end of a scale (struct of out, aft), from the direction end_out, end_aft (length 1): with one
-- angle only, how it moves that angle along its axis. *_short: what the angle lacks (deg), NULL where the target does not name it;
-- camber, caster: struct of slope_out, slope_aft (deg/mm).
create or replace temp macro past_end_direction(camber_short, caster_short, camber, caster, end_out, end_aft) as {
    'out': case
        when camber_short is null then 0
        when caster_short is null then sign(camber.slope_out * end_out + camber.slope_aft * end_aft)
        else end_out
    end,
    'aft': case
        when camber_short is null then sign(caster.slope_out * end_out + caster.slope_aft * end_aft)
        when caster_short is null then 0
        else end_aft
    end
};
-- From where along that direction (mm past the end) an angle that is missed, and would come nearer beyond the end, comes within
-- tolerance, the part of the move across the direction being given; NULL where it is not missed so. Under 0.02 deg per mm an angle is
-- left to the other scale, or to another index. move: from the present offset to the need (struct of out, aft; mm).
create or replace temp macro past_end_limit(short, tol, slopes, end_out, end_aft, direction, move) as
    case
        when abs(short) > tol
            and short * (slopes.slope_out * end_out + slopes.slope_aft * end_aft) > 0
            and abs(slopes.slope_out * end_out + slopes.slope_aft * end_aft) > 0.02
        then (
            sign(short) * tol
            - (
                slopes.slope_aft * direction.out - slopes.slope_out * direction.aft
            ) * (move.aft * direction.out - move.out * direction.aft)
        ) / (slopes.slope_out * direction.out + slopes.slope_aft * direction.aft)
    end;
