-- title: Settings, all angles in one row
-- grain: one row per front corner of an install or adjust visit that has a before or an after
-- source: states, scale_ends, front_slopes, gauge_noises
-- missing: what was not read is NULL, and so is all of an after that is missing (left_behind is false)
-- *_most_deg_per_mm, *_least_deg_per_mm: what one millimetre beyond an end of a scale would do to the angle, the largest and the
-- smallest of the pointers that stand at an end; NULL where none does.
-- column chassis VARCHAR: platform code
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR
-- column visit VARCHAR: visit
-- column left_behind BOOLEAN: there is an after; the columns up to caster_least_deg_per_mm are of it
-- column visit_kind VARCHAR: install adjust
-- column measured_ts TIMESTAMP: when it was read, local wall time
-- column ordered_ts TIMESTAMP: for the order of the car's states, see states
-- column kit VARCHAR: NULL = original mount
-- column plate_index INTEGER: bolt position
-- column plate_hand VARCHAR: left right
-- column gauge VARCHAR: measuring equipment; NULL = not named
-- column technician VARCHAR: who measured; NULL = not named
-- column target VARCHAR: what it was set to
-- column offset_out_mm DOUBLE [mm]: bearing offset, outboard
-- column offset_aft_mm DOUBLE [mm]: bearing offset, rearward
-- column tie_rods_turned BOOLEAN: since the before
-- column camber_deg DOUBLE [deg]: mean reading
-- column caster_deg DOUBLE [deg]: mean reading
-- column toe_deg DOUBLE [deg]: mean reading, per wheel
-- column camber_u_deg DOUBLE [deg]: standard uncertainty of it (repeatability over the root of the readings averaged)
-- column caster_u_deg DOUBLE [deg]: standard uncertainty
-- column toe_u_deg DOUBLE [deg]: standard uncertainty
-- column camber_most_deg_per_mm DOUBLE [deg/mm]: largest beyond an end
-- column camber_least_deg_per_mm DOUBLE [deg/mm]: smallest beyond an end
-- column caster_most_deg_per_mm DOUBLE [deg/mm]: largest beyond an end
-- column caster_least_deg_per_mm DOUBLE [deg/mm]: smallest beyond an end
-- column source_file VARCHAR: file of the after
-- column source_line INTEGER: line in that file
-- column found BOOLEAN: there is a before; the columns after this one are of it
-- column found_ts TIMESTAMP: when it was read, local wall time
-- column found_ordered_ts TIMESTAMP: for the order of the car's states
-- column found_kit VARCHAR: NULL = original mount
-- column found_out_mm DOUBLE [mm]: bearing offset, outboard
-- column found_aft_mm DOUBLE [mm]: bearing offset, rearward
-- column found_camber_deg DOUBLE [deg]: mean reading
-- column found_caster_deg DOUBLE [deg]: mean reading
-- column found_toe_deg DOUBLE [deg]: mean reading, per wheel
-- column found_camber_u_deg DOUBLE [deg]: standard uncertainty
-- column found_caster_u_deg DOUBLE [deg]: standard uncertainty
-- column found_toe_u_deg DOUBLE [deg]: standard uncertainty
with
at_ends as (
    select
        vehicle,
        corner,
        visit,
        camber_out * end_1_out + camber_aft * end_1_aft as camber_1,
        camber_out * end_2_out + camber_aft * end_2_aft as camber_2,
        caster_out * end_1_out + caster_aft * end_1_aft as caster_1,
        caster_out * end_2_out + caster_aft * end_2_aft as caster_2
    from scale_ends
    inner join front_slopes on front_slopes.chassis = scale_ends.chassis
    where phase = 'after'
),
turned as (
    select vehicle, corner, visit
    from states
    where phase = 'moved' and visit_kind in ('install', 'adjust') and corner in ('FL', 'FR') and toe_reset
),
-- A plate moves front corners only.
afters as (
    select
        states.*,
        camber_sd_deg / sqrt(case when camber_deg is not null then camber_count end) as camber_u_deg,
        caster_sd_deg / sqrt(case when caster_deg is not null then caster_count end) as caster_u_deg,
        toe_sd_deg / sqrt(case when toe_deg is not null then toe_count end) as toe_u_deg
    from states
    inner join gauge_noises on gauge_noises.gauge is not distinct from states.gauge
    where phase = 'after' and visit_kind in ('install', 'adjust') and corner in ('FL', 'FR')
),
befores as (
    select
        states.*,
        camber_sd_deg / sqrt(case when camber_deg is not null then camber_count end) as camber_u_deg,
        caster_sd_deg / sqrt(case when caster_deg is not null then caster_count end) as caster_u_deg,
        toe_sd_deg / sqrt(case when toe_deg is not null then toe_count end) as toe_u_deg
    from states
    inner join gauge_noises on gauge_noises.gauge is not distinct from states.gauge
    where phase = 'before' and visit_kind in ('install', 'adjust') and corner in ('FL', 'FR')
)
select
    coalesce(afters.chassis, befores.chassis) as chassis,
    vehicle,
    corner,
    visit,
    afters.phase is not null as left_behind,
    coalesce(afters.visit_kind, befores.visit_kind) as visit_kind,
    afters.measured_ts,
    afters.ordered_ts,
    afters.kit,
    afters.plate_index,
    afters.plate_hand,
    afters.gauge,
    afters.technician,
    afters.target,
    afters.offset_out_mm,
    afters.offset_aft_mm,
    afters.toe_reset or turned.vehicle is not null as tie_rods_turned,
    afters.camber_deg,
    afters.caster_deg,
    afters.toe_deg,
    afters.camber_u_deg,
    afters.caster_u_deg,
    afters.toe_u_deg,
    greatest(camber_1, camber_2) as camber_most_deg_per_mm,
    least(camber_1, camber_2) as camber_least_deg_per_mm,
    greatest(caster_1, caster_2) as caster_most_deg_per_mm,
    least(caster_1, caster_2) as caster_least_deg_per_mm,
    afters.source_file,
    afters.source_line,
    befores.phase is not null as found,
    befores.measured_ts as found_ts,
    befores.ordered_ts as found_ordered_ts,
    befores.kit as found_kit,
    befores.offset_out_mm as found_out_mm,
    befores.offset_aft_mm as found_aft_mm,
    befores.camber_deg as found_camber_deg,
    befores.caster_deg as found_caster_deg,
    befores.toe_deg as found_toe_deg,
    befores.camber_u_deg as found_camber_u_deg,
    befores.caster_u_deg as found_caster_u_deg,
    befores.toe_u_deg as found_toe_u_deg
from afters
full join befores using (vehicle, corner, visit)
left join turned using (vehicle, corner, visit)
left join at_ends using (vehicle, corner, visit)
