-- title: Where each front corner stands now
-- grain: one row per vehicle and front corner that was ever read
-- source: states
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
-- column camber_mountings DOUBLE: mountings of the gauge that the mean is of
-- column camber_gauge VARCHAR: gauge that read it
-- column camber_reader BIGINT: who read it, see readers; a number of nobody where repeats were read by several
-- column camber_visit VARCHAR: visit in which it was read
-- column caster_deg DOUBLE [deg]: mean of the repeats of one state
-- column caster_count BIGINT: readings in the mean
-- column caster_mountings DOUBLE: mountings of the gauge that the mean is of
-- column caster_gauge VARCHAR: gauge that read it
-- column caster_reader BIGINT: who read it, see readers; a number of nobody where repeats were read by several
-- column caster_visit VARCHAR: visit in which it was read
-- column toe_deg DOUBLE [deg]: mean of the repeats of one state, per wheel
-- column toe_count BIGINT: readings in the mean
-- column toe_mountings DOUBLE: mountings of the gauge that the mean is of
-- column toe_gauge VARCHAR: gauge that read it
-- column toe_reader BIGINT: who read it, see readers; a number of nobody where repeats were read by several
-- column toe_visit VARCHAR: visit in which it was read
-- column source_file VARCHAR: file of the newest state
-- column source_line INTEGER: line in that file
with
fronts as not materialized (
    select
        *,
        cast(hash(gauge, technician) // 4096 as bigint) as reader,
        place_in_time(ordered_ts, visit, phase_order) as place
    from states
    where corner in ('FL', 'FR')
),
last_times as (
    select vehicle, corner, max(place) as last_time
    from fronts
    group by vehicle, corner
),
newest as (
    select
        fronts.* exclude (place, reader),
        case when camber_deg is not null then mounting_count end as camber_mountings,
        case when camber_deg is not null then gauge end as camber_gauge,
        case when camber_deg is not null then reader end as camber_reader,
        case when camber_deg is not null then fronts.visit end as camber_visit,
        case when caster_deg is not null then mounting_count end as caster_mountings,
        case when caster_deg is not null then gauge end as caster_gauge,
        case when caster_deg is not null then reader end as caster_reader,
        case when caster_deg is not null then fronts.visit end as caster_visit,
        case when toe_deg is not null then mounting_count end as toe_mountings,
        case when toe_deg is not null then gauge end as toe_gauge,
        case when toe_deg is not null then reader end as toe_reader,
        case when toe_deg is not null then fronts.visit end as toe_visit,
        camber_deg is null or caster_deg is null or toe_deg is null or offset_out_mm is null as lacking
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
        arg_max(
            {
                'deg': fronts.camber_deg, 'count': fronts.camber_count, 'mountings': fronts.mounting_count,
                'gauge': fronts.gauge, 'reader': fronts.reader, 'visit': fronts.visit
            }, fronts.place
        ) filter (where fronts.camber_deg is not null) as camber,
        arg_max(
            {
                'deg': fronts.caster_deg, 'count': fronts.caster_count, 'mountings': fronts.mounting_count,
                'gauge': fronts.gauge, 'reader': fronts.reader, 'visit': fronts.visit
            }, fronts.place
        ) filter (where fronts.caster_deg is not null) as caster,
        arg_max(
            {
                'deg': fronts.toe_deg, 'count': fronts.toe_count, 'mountings': fronts.mounting_count,
                'gauge': fronts.gauge, 'reader': fronts.reader, 'visit': fronts.visit
            }, fronts.place
        ) filter (where fronts.toe_deg is not null) as toe
    from fronts
    inner join newest
        on newest.lacking
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
            case when camber_deg is null then camber.deg else camber_deg end as camber_deg,
            case when camber_deg is null then camber.count else camber_count end as camber_count,
            case when camber_deg is null then camber.mountings else camber_mountings end as camber_mountings,
            case when camber_deg is null then camber.gauge else camber_gauge end as camber_gauge,
            case when camber_deg is null then camber.reader else camber_reader end as camber_reader,
            case when camber_deg is null then camber.visit else camber_visit end as camber_visit,
            case when caster_deg is null then caster.deg else caster_deg end as caster_deg,
            case when caster_deg is null then caster.count else caster_count end as caster_count,
            case when caster_deg is null then caster.mountings else caster_mountings end as caster_mountings,
            case when caster_deg is null then caster.gauge else caster_gauge end as caster_gauge,
            case when caster_deg is null then caster.reader else caster_reader end as caster_reader,
            case when caster_deg is null then caster.visit else caster_visit end as caster_visit,
            case when toe_deg is null then toe.deg else toe_deg end as toe_deg,
            case when toe_deg is null then toe.count else toe_count end as toe_count,
            case when toe_deg is null then toe.mountings else toe_mountings end as toe_mountings,
            case when toe_deg is null then toe.gauge else toe_gauge end as toe_gauge,
            case when toe_deg is null then toe.reader else toe_reader end as toe_reader,
            case when toe_deg is null then toe.visit else toe_visit end as toe_visit
        )
    from newest
    left join earlier using (vehicle, corner)
    where lacking
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
    read_error_oo_mm2,
    read_error_oa_mm2,
    read_error_aa_mm2,
    camber_deg,
    camber_count,
    camber_mountings,
    camber_gauge,
    camber_reader,
    camber_visit,
    caster_deg,
    caster_count,
    caster_mountings,
    caster_gauge,
    caster_reader,
    caster_visit,
    toe_deg,
    toe_count,
    toe_mountings,
    toe_gauge,
    toe_reader,
    toe_visit,
    source_file,
    source_line
from (select * from newest where not lacking union all select * from completed)
