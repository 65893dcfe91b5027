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
-- What a slot asks along the normals of its own sides and of those of the region within tolerance. slot: direction of length 1; side:
-- half of the second scale as a vector (mm), 0 for one scale; camber, caster: struct of slope_out, slope_aft (deg/mm) and tol (deg); tol
-- NULL where the target does not judge that angle. near, far: what tolerance and second scale span along it, NULL where it asks for
-- nothing; per_mm: what a millimetre of half-length does. As a column it is planned once.
create or replace temp macro slot_normals(slot, side, camber, caster) as {
    'camber': {
        'out': camber.slope_out, 'aft': camber.slope_aft, 'near': camber.tol,
        'far': abs(side.out * camber.slope_out + side.aft * camber.slope_aft),
        'per_mm': abs(slot.out * camber.slope_out + slot.aft * camber.slope_aft)
    },
    'caster': {
        'out': caster.slope_out, 'aft': caster.slope_aft, 'near': caster.tol,
        'far': abs(side.out * caster.slope_out + side.aft * caster.slope_aft),
        'per_mm': abs(slot.out * caster.slope_out + slot.aft * caster.slope_aft)
    },
    -- Across the slot, and across the second scale, where both angles are judged.
    'slot': {
        'out': -slot.aft, 'aft': slot.out, 'near': abs(slot.out * side.aft - slot.aft * side.out),
        'far': tolerance_span(camber, caster, -slot.aft, slot.out), 'per_mm': cast(0 as double)
    },
    'side': {
        'out': -side.aft, 'aft': side.out, 'near': tolerance_span(camber, caster, -side.aft, side.out),
        'far': cast(0 as double), 'per_mm': abs(slot.aft * side.out - slot.out * side.aft)
    }
};
create or replace temp macro asked_along(d_out, d_aft, normal) as
    asked_half_length(abs(d_out * normal.out + d_aft * normal.aft) - normal.near - normal.far, normal.per_mm);
-- Least half-length (mm) of a straight slot from which a target is met within tolerance: 0 where its middle does, infinity where
-- no length does. need, middle: needed offset and middle of the slot (struct of out, aft; mm); normals: see slot_normals.
-- The slot with its second scale and the region within tolerance are parallelograms; they meet when they do along the normals
-- of their sides (separating axis theorem), and each normal asks for a half-length.
create or replace temp macro required_half_length(need, middle, normals) as
    greatest(
        asked_along(need.out - middle.out, need.aft - middle.aft, normals.camber),
        asked_along(need.out - middle.out, need.aft - middle.aft, normals.caster),
        asked_along(need.out - middle.out, need.aft - middle.aft, normals.slot),
        asked_along(need.out - middle.out, need.aft - middle.aft, normals.side)
    );
-- The same asked of a slot of half-length half_length (mm): whether it meets the target from a need that lies d_out, d_aft (mm) from its
-- middle. most: how far along each normal that may be.
create or replace temp macro most_along(normal, half_length) as
    coalesce(
        normal.near + normal.far
            + greatest(case when normal.per_mm >= 1e-9 then normal.per_mm * (half_length + 1e-9) else 0 end, 1e-9),
        cast('infinity' as double)
    );
create or replace temp macro reach_limits(normals, half_length) as {
    'camber': most_along(normals.camber, half_length),
    'caster': most_along(normals.caster, half_length),
    'slot': most_along(normals.slot, half_length),
    'side': most_along(normals.side, half_length)
};
create or replace temp macro is_reached(d_out, d_aft, normals, most) as
    abs(d_out * normals.camber.out + d_aft * normals.camber.aft) <= most.camber
    and abs(d_out * normals.caster.out + d_aft * normals.caster.aft) <= most.caster
    and abs(d_out * normals.slot.out + d_aft * normals.slot.aft) <= most.slot
    and abs(d_out * normals.side.out + d_aft * normals.side.aft) <= most.side;
-- Bits: reached when the need is shifted by error_out inboard (1), outboard (2), by error_aft forward (4), rearward (8).
create or replace temp macro reached_shifted(d_out, d_aft, error_out, error_aft, normals, most) as
    cast(is_reached(d_out - error_out, d_aft, normals, most) as integer)
    + 2 * cast(is_reached(d_out + error_out, d_aft, normals, most) as integer)
    + 4 * cast(is_reached(d_out, d_aft - error_aft, normals, most) as integer)
    + 8 * cast(is_reached(d_out, d_aft + error_aft, normals, most) as integer);
-- Both of a corner that may be missing: NULL where need is.
create or replace temp macro corner_half_length(need, middle, normals) as
    case when need is not null then required_half_length(need, middle, normals) end;
create or replace temp macro corner_shifted(need, middle, error_out, error_aft, normals, most) as
    case when need is not null then reached_shifted(
        need.out - middle.out, need.aft - middle.aft, error_out, error_aft, normals, most
    ) end;
-- Share of the corners of cars that are reached with the needs so shifted; shift: the bit.
create or replace temp macro shifted_share(left_shifted, right_shifted, shift) as
    (count(*) filter (where left_shifted & shift > 0) + count(*) filter (where right_shifted & shift > 0))
    / nullif(count(left_shifted) + count(right_shifted), 0);
