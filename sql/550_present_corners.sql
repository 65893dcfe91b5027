-- title: Where each front corner stands now
-- grain: one row per vehicle and front corner that was ever read
-- source: states, placements
-- missing: an angle is NULL where it was never read at the present placement; offsets are NULL with the reason in offset_missing
-- The placement is that of the newest state. An angle that this state lacks comes from the newest earlier state at the same
-- placement.
-- column vehicle VARCHAR: one car
-- column chassis VARCHAR: platform code
-- column corner VARCHAR: FL FR
-- column visit VARCHAR: visit of the newest state
-- column measured_ts TIMESTAMP: when the newest state was read, local wall time
-- column kit VARCHAR: NULL = original mount
-- column plate_hand VARCHAR: left right
-- column plate_index INTEGER: bolt position
-- column mark_1 DOUBLE [marks]: pointer on the first scale
-- column mark_2 DOUBLE [marks]: pointer on the second scale
-- column offset_out_mm DOUBLE [mm]: bearing centre outboard of the original mount's
-- column offset_aft_mm DOUBLE [mm]: bearing centre rearward of the original mount's
-- column offset_missing VARCHAR: why the offset is not known
-- column read_error_oo_mm2 DOUBLE [mm2]: variance of the offset from reading the pointer, outboard
-- column read_error_oa_mm2 DOUBLE [mm2]: its covariance
-- column read_error_aa_mm2 DOUBLE [mm2]: its variance rearward
-- column camber_deg DOUBLE [deg]: mean of the repeats of one state
-- column camber_count BIGINT: readings in the mean
-- column camber_gauge VARCHAR: gauge that read it
-- column camber_visit VARCHAR: visit in which it was read
-- column caster_deg DOUBLE [deg]: mean of the repeats of one state
-- column caster_count BIGINT: readings in the mean
-- column caster_gauge VARCHAR: gauge that read it
-- column caster_visit VARCHAR: visit in which it was read
-- column toe_deg DOUBLE [deg]: mean of the repeats of one state, per wheel
-- column toe_count BIGINT: readings in the mean
-- column toe_gauge VARCHAR: gauge that read it
-- column toe_visit VARCHAR: visit in which it was read
-- column source_file VARCHAR: file of the newest state
-- column source_line INTEGER: line in that file
with
ordered as (
    select
        *,
        row_number() over (
            partition by vehicle, corner order by measured_ts desc nulls last, phase_order desc, visit desc
        ) as age
    from states
    where corner in ('FL', 'FR')
),
newest as (
    select * from ordered where age = 1
),
same_place as (
    select
        newest.vehicle,
        newest.corner,
        arg_min(
            {'deg': ordered.camber_deg, 'count': ordered.camber_count, 'gauge': ordered.gauge, 'visit': ordered.visit}, ordered.age
        ) filter (where ordered.camber_deg is not null) as camber,
        arg_min(
            {'deg': ordered.caster_deg, 'count': ordered.caster_count, 'gauge': ordered.gauge, 'visit': ordered.visit}, ordered.age
        ) filter (where ordered.caster_deg is not null) as caster,
        arg_min(
            {'deg': ordered.toe_deg, 'count': ordered.toe_count, 'gauge': ordered.gauge, 'visit': ordered.visit}, ordered.age
        ) filter (where ordered.toe_deg is not null) as toe
    from newest
    inner join ordered
        on ordered.vehicle = newest.vehicle
        and ordered.corner = newest.corner
        and ordered.kit is not distinct from newest.kit
        and ordered.plate_index is not distinct from newest.plate_index
        and (
            ordered.age = 1
            or (
                abs(ordered.offset_out_mm - newest.offset_out_mm) < 1e-3
                and abs(ordered.offset_aft_mm - newest.offset_aft_mm) < 1e-3
            )
        )
    group by newest.vehicle, newest.corner
),
reasons as (
    select vehicle, corner, visit, phase, min(offset_missing) as offset_missing
    from placements
    group by vehicle, corner, visit, phase
)
select
    newest.vehicle,
    newest.chassis,
    newest.corner,
    newest.visit,
    newest.measured_ts,
    newest.kit,
    newest.plate_hand,
    newest.plate_index,
    newest.mark_1,
    newest.mark_2,
    newest.offset_out_mm,
    newest.offset_aft_mm,
    case
        when newest.offset_out_mm is null
            then coalesce(reasons.offset_missing, 'the repeats of this state name different places')
    end as offset_missing,
    newest.read_error_oo_mm2,
    newest.read_error_oa_mm2,
    newest.read_error_aa_mm2,
    camber.deg as camber_deg,
    camber.count as camber_count,
    camber.gauge as camber_gauge,
    camber.visit as camber_visit,
    caster.deg as caster_deg,
    caster.count as caster_count,
    caster.gauge as caster_gauge,
    caster.visit as caster_visit,
    toe.deg as toe_deg,
    toe.count as toe_count,
    toe.gauge as toe_gauge,
    toe.visit as toe_visit,
    newest.source_file,
    newest.source_line
from newest
inner join same_place using (vehicle, corner)
inner join reasons using (vehicle, corner, visit, phase)
