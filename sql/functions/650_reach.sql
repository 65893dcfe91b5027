-- Least half-length (mm) of a straight slot from which a target is met within tolerance: 0 where its middle does, infinity where
-- no length does. need, middle: needed offset and middle of the slot (struct of out, aft; mm); slot: direction of length 1; side:
-- half of the second scale as a vector (mm), 0 for one scale; camber, caster: struct of slope_out, slope_aft (deg/mm) and tol
-- (deg); tol NULL where the target does not judge that angle.
-- The slot with its second scale and the region within tolerance are parallelograms; they meet when they do along the normals
-- of their sides (separating axis theorem), and each normal asks for a half-length.
create or replace temp macro normal_gap(need, middle, normal_out, normal_aft) as
    abs((need.out - middle.out) * normal_out + (need.aft - middle.aft) * normal_aft);
-- A gap that is NULL asks for nothing.
create or replace temp macro asked_half_length(gap, per_mm) as
    case when gap > 1e-9 then case when per_mm < 1e-9 then cast('infinity' as double) else gap / per_mm end
        else cast(0 as double) end;
-- Half of what the region within tolerance spans along a normal.
create or replace temp macro tolerance_span(camber, caster, normal_out, normal_aft) as
    (
        camber.tol * abs(caster.slope_aft * normal_out - caster.slope_out * normal_aft)
        + caster.tol * abs(camber.slope_out * normal_aft - camber.slope_aft * normal_out)
    ) / abs(camber.slope_out * caster.slope_aft - camber.slope_aft * caster.slope_out);
create or replace temp macro required_half_length(need, middle, slot, side, camber, caster) as
    greatest(
        asked_half_length(
            normal_gap(need, middle, camber.slope_out, camber.slope_aft) - camber.tol
                - abs(side.out * camber.slope_out + side.aft * camber.slope_aft),
            abs(slot.out * camber.slope_out + slot.aft * camber.slope_aft)
        ),
        asked_half_length(
            normal_gap(need, middle, caster.slope_out, caster.slope_aft) - caster.tol
                - abs(side.out * caster.slope_out + side.aft * caster.slope_aft),
            abs(slot.out * caster.slope_out + slot.aft * caster.slope_aft)
        ),
        -- Across the slot, and across the second scale, where both angles are judged.
        asked_half_length(
            normal_gap(need, middle, -slot.aft, slot.out) - abs(slot.out * side.aft - slot.aft * side.out)
                - tolerance_span(camber, caster, -slot.aft, slot.out),
            0
        ),
        asked_half_length(
            normal_gap(need, middle, -side.aft, side.out) - tolerance_span(camber, caster, -side.aft, side.out),
            abs(slot.aft * side.out - slot.out * side.aft)
        )
    );
-- The same asked of a slot of half-length half_length (mm): whether it meets the target from a need that lies d_out, d_aft (mm) from its
-- middle. most: how far along each normal that may be, see reach_limits: from what the gap along it falls short of the distance
-- (NULL where it asks for nothing), and what a millimetre of half-length gives.
create or replace temp macro reach_along(span, per_mm, half_length) as
    coalesce(
        span + greatest(case when per_mm >= 1e-9 then per_mm * (half_length + 1e-9) else 0 end, 1e-9),
        cast('infinity' as double)
    );
create or replace temp macro reach_limits(slot, side, camber, caster, half_length) as {
    'camber': reach_along(
        camber.tol + abs(side.out * camber.slope_out + side.aft * camber.slope_aft),
        abs(slot.out * camber.slope_out + slot.aft * camber.slope_aft), half_length
    ),
    'caster': reach_along(
        caster.tol + abs(side.out * caster.slope_out + side.aft * caster.slope_aft),
        abs(slot.out * caster.slope_out + slot.aft * caster.slope_aft), half_length
    ),
    'slot': reach_along(
        abs(slot.out * side.aft - slot.aft * side.out) + tolerance_span(camber, caster, -slot.aft, slot.out), 0,
        half_length
    ),
    'side': reach_along(
        tolerance_span(camber, caster, -side.aft, side.out), abs(slot.aft * side.out - slot.out * side.aft), half_length
    )
};
create or replace temp macro is_reached(d_out, d_aft, slot, side, camber, caster, most) as
    abs(d_out * camber.slope_out + d_aft * camber.slope_aft) <= most.camber
    and abs(d_out * caster.slope_out + d_aft * caster.slope_aft) <= most.caster
    and abs(d_aft * slot.out - d_out * slot.aft) <= most.slot
    and abs(d_aft * side.out - d_out * side.aft) <= most.side;
-- Bits: reached when the need is shifted by error_out inboard (1), outboard (2), by error_aft forward (4), rearward (8).
create or replace temp macro reached_shifted(d_out, d_aft, error_out, error_aft, slot, side, camber, caster, most) as
    cast(is_reached(d_out - error_out, d_aft, slot, side, camber, caster, most) as integer)
    + 2 * cast(is_reached(d_out + error_out, d_aft, slot, side, camber, caster, most) as integer)
    + 4 * cast(is_reached(d_out, d_aft - error_aft, slot, side, camber, caster, most) as integer)
    + 8 * cast(is_reached(d_out, d_aft + error_aft, slot, side, camber, caster, most) as integer);
-- Both of a corner that may be missing: NULL where need is.
create or replace temp macro corner_half_length(need, middle, slot, side, camber, caster) as
    case when need is not null then required_half_length(need, middle, slot, side, camber, caster) end;
create or replace temp macro corner_shifted(need, middle, error_out, error_aft, slot, side, camber, caster, most) as
    case when need is not null then reached_shifted(
        need.out - middle.out, need.aft - middle.aft, error_out, error_aft, slot, side, camber, caster, most
    ) end;
-- Share of the corners of cars that are reached with the needs so shifted; shift: the bit.
create or replace temp macro shifted_share(left_shifted, right_shifted, shift) as
    (count(*) filter (where left_shifted & shift > 0) + count(*) filter (where right_shifted & shift > 0))
    / nullif(count(left_shifted) + count(right_shifted), 0);
