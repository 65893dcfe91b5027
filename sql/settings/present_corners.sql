-- title: Where each front corner stands now
-- grain: one row per vehicle and front corner that was ever read
-- source: states, pointer_errors
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
-- column read_error_oo_mm2 DOUBLE [mm2]: variance of the offset about the marks, outboard
-- column read_error_oa_mm2 DOUBLE [mm2]: its covariance
-- column read_error_aa_mm2 DOUBLE [mm2]: its variance rearward
-- column camber_deg DOUBLE [deg]: mean of the repeats of one state
-- column camber_count BIGINT: readings in the mean
-- column camber_mountings DOUBLE: mountings of the gauge that the mean is of
-- column camber_gauge VARCHAR: gauge that read it
-- column camber_reader BIGINT: who read it, see readers; a number of nobody where repeats were read by several
-- column camber_visit VARCHAR: visit in which it was read
-- column camber_ts TIMESTAMP: when it was read, local wall time
-- column caster_deg DOUBLE [deg]: mean of the repeats of one state
-- column caster_count BIGINT: readings in the mean
-- column caster_mountings DOUBLE: mountings of the gauge that the mean is of
-- column caster_gauge VARCHAR: gauge that read it
-- column caster_reader BIGINT: who read it, see readers; a number of nobody where repeats were read by several
-- column caster_visit VARCHAR: visit in which it was read
-- column caster_ts TIMESTAMP: when it was read, local wall time
-- column toe_deg DOUBLE [deg]: mean of the repeats of one state, per wheel
-- column toe_count BIGINT: readings in the mean
-- column toe_mountings DOUBLE: mountings of the gauge that the mean is of
-- column toe_gauge VARCHAR: gauge that read it
-- column toe_reader BIGINT: who read it, see readers; a number of nobody where repeats were read by several
-- column toe_visit VARCHAR: visit in which it was read
-- column toe_ts TIMESTAMP: when it was read, local wall time
-- column source_file VARCHAR: file of the newest state
-- column source_line INTEGER: line in that file
with
fronts as not materialized (
    select
        *,
        reader_of(gauge, technician) as reader,
        place_in_time(ordered_ts, visit, phase_order) as place,
        case when camber_deg is not null then {
            'deg': camber_deg, 'count': camber_count, 'mountings': mounting_count, 'gauge': gauge, 'reader': reader,
            'visit': visit, 'ts': measured_ts
        } end as camber,
        case when caster_deg is not null then {
            'deg': caster_deg, 'count': caster_count, 'mountings': mounting_count, 'gauge': gauge, 'reader': reader,
            'visit': visit, 'ts': measured_ts
        } end as caster,
        case when toe_deg is not null then {
            'deg': toe_deg, 'count': toe_count, 'mountings': mounting_count, 'gauge': gauge, 'reader': reader,
            'visit': visit, 'ts': measured_ts
        } end as toe
    from states
    where corner in ('FL', 'FR')
),
last_times as (
    select vehicle, corner, max(place) as last_time
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
earlier as (
    select
        newest.vehicle,
        newest.corner,
        arg_max(fronts.camber, fronts.place) filter (where fronts.camber is not null) as camber,
        arg_max(fronts.caster, fronts.place) filter (where fronts.caster is not null) as caster,
        arg_max(fronts.toe, fronts.place) filter (where fronts.toe is not null) as toe
    from fronts
    inner join newest
        on (newest.camber is null or newest.caster is null or newest.toe is null)
        and newest.vehicle = fronts.vehicle
        and newest.corner = fronts.corner
        and newest.kit is not distinct from fronts.kit
        and newest.plate_index is not distinct from fronts.plate_index
    where abs(fronts.offset_out_mm - newest.offset_out_mm) < 1e-3
        and abs(fronts.offset_aft_mm - newest.offset_aft_mm) < 1e-3
    group by newest.vehicle, newest.corner
),
completed as (
    select
        newest.* replace (
            coalesce(newest.camber, earlier.camber) as camber,
            coalesce(newest.caster, earlier.caster) as caster,
            coalesce(newest.toe, earlier.toe) as toe
        )
    from newest
    left join earlier using (vehicle, corner)
)
select
    vehicle,
    chassis,
    corner,
    visit,
    measured_ts,
    kit,
    plate_hand,
    plate_index,
    mark_1,
    mark_2,
    offset_out_mm,
    offset_aft_mm,
    offset_missing,
    read_error_oo_mm2 * coalesce(variance_ratio, 1) as read_error_oo_mm2,
    read_error_oa_mm2 * coalesce(variance_ratio, 1) as read_error_oa_mm2,
    read_error_aa_mm2 * coalesce(variance_ratio, 1) as read_error_aa_mm2,
    camber.deg as camber_deg,
    camber.count as camber_count,
    camber.mountings as camber_mountings,
    camber.gauge as camber_gauge,
    camber.reader as camber_reader,
    camber.visit as camber_visit,
    camber.ts as camber_ts,
    caster.deg as caster_deg,
    caster.count as caster_count,
    caster.mountings as caster_mountings,
    caster.gauge as caster_gauge,
    caster.reader as caster_reader,
    caster.visit as caster_visit,
    caster.ts as caster_ts,
    toe.deg as toe_deg,
    toe.count as toe_count,
    toe.mountings as toe_mountings,
    toe.gauge as toe_gauge,
    toe.reader as toe_reader,
    toe.visit as toe_visit,
    toe.ts as toe_ts,
    source_file,
    source_line
from completed
left join pointer_errors using (kit)
