-- title: Where each front corner stands now
-- grain: one row per vehicle and front corner that was ever read
-- source: states, placements
-- part: vehicle
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
fronts as not materialized (
    select
        *,
        {'ts': coalesce(measured_ts, timestamp '-infinity'), 'phase_order': phase_order, 'visit': visit} as place_in_time
    from states
    where corner in ('FL', 'FR')
),
last_times as (
    select vehicle, corner, max(place_in_time) as last_time
    from fronts
    group by vehicle, corner
),
newest as (
    select fronts.*
    from fronts
    inner join last_times
        on last_times.vehicle = fronts.vehicle
        and last_times.corner = fronts.corner
        and last_times.last_time.visit = fronts.visit
        and last_times.last_time.phase_order = fronts.phase_order
),
lacking as (
    select vehicle, corner, visit, phase_order, kit, plate_index, offset_out_mm, offset_aft_mm
    from newest
    where (camber_deg is null or caster_deg is null or toe_deg is null) and offset_out_mm is not null
),
earlier as (
    select
        lacking.vehicle,
        lacking.corner,
        arg_max(
            {'deg': fronts.camber_deg, 'count': fronts.camber_count, 'gauge': fronts.gauge, 'visit': fronts.visit}, fronts.place_in_time
        ) filter (where fronts.camber_deg is not null) as camber,
        arg_max(
            {'deg': fronts.caster_deg, 'count': fronts.caster_count, 'gauge': fronts.gauge, 'visit': fronts.visit}, fronts.place_in_time
        ) filter (where fronts.caster_deg is not null) as caster,
        arg_max(
            {'deg': fronts.toe_deg, 'count': fronts.toe_count, 'gauge': fronts.gauge, 'visit': fronts.visit}, fronts.place_in_time
        ) filter (where fronts.toe_deg is not null) as toe
    from fronts
    inner join lacking
        on lacking.vehicle = fronts.vehicle
        and lacking.corner = fronts.corner
        and lacking.kit is not distinct from fronts.kit
        and lacking.plate_index is not distinct from fronts.plate_index
    where abs(fronts.offset_out_mm - lacking.offset_out_mm) < 1e-3 and abs(fronts.offset_aft_mm - lacking.offset_aft_mm) < 1e-3
    group by lacking.vehicle, lacking.corner
),
reasons as (
    select vehicle, corner, visit, phase, min(offset_missing) as offset_missing
    from placements
    where offset_missing is not null
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
    case when newest.camber_deg is null then camber.deg else newest.camber_deg end as camber_deg,
    case when newest.camber_deg is null then camber.count else newest.camber_count end as camber_count,
    case when newest.camber_deg is null then camber.gauge else newest.gauge end as camber_gauge,
    case when newest.camber_deg is null then camber.visit else newest.visit end as camber_visit,
    case when newest.caster_deg is null then caster.deg else newest.caster_deg end as caster_deg,
    case when newest.caster_deg is null then caster.count else newest.caster_count end as caster_count,
    case when newest.caster_deg is null then caster.gauge else newest.gauge end as caster_gauge,
    case when newest.caster_deg is null then caster.visit else newest.visit end as caster_visit,
    case when newest.toe_deg is null then toe.deg else newest.toe_deg end as toe_deg,
    case when newest.toe_deg is null then toe.count else newest.toe_count end as toe_count,
    case when newest.toe_deg is null then toe.gauge else newest.gauge end as toe_gauge,
    case when newest.toe_deg is null then toe.visit else newest.visit end as toe_visit,
    newest.source_file,
    newest.source_line
from newest
left join earlier using (vehicle, corner)
left join reasons using (vehicle, corner, visit, phase)
