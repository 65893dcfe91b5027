-- title: Consecutive states of one corner at one setting
-- grain: one row per state and the state of its corner before it, where both were read at one known setting
-- source: states, readers, repeated_readings
-- missing: a gap is NULL where the angle was not read both times, for toe also where tie rods were turned in between
-- Where a state mixes gauges, its repeats tell. Readings without a gauge are those of one reader who has no name.
-- column chassis VARCHAR: platform code
-- column lot_of_cars INTEGER: 128 lots of cars, by a hash of their names
-- column lot INTEGER: 65,536 lots of corners, by a hash of their names
-- column same_visit BOOLEAN: both of one visit
-- column undisturbed BOOLEAN: a rear corner, which no plate can move, or both of check visits, where nothing is touched
-- column cluster BIGINT: number of the car and later visit, a hash of their names
-- column earlier_weeks DOUBLE [weeks]: when the earlier one was read, from 1970 on
-- column at_weeks DOUBLE [weeks]: the same of the later one
-- column reader_1 BIGINT: who read the earlier one, see readers
-- column reader_2 BIGINT: who read the later one
-- column mountings DOUBLE: what mountings of the gauge add to the variance of a gap, in that of one: 2, or less where a mean is over several
-- column camber_gap_deg DOUBLE [deg]: later less earlier
-- column caster_gap_deg DOUBLE [deg]: later less earlier
-- column toe_gap_deg DOUBLE [deg]: later less earlier
-- column sai_gap_deg DOUBLE [deg]: later less earlier
-- column camber_count_1 BIGINT: readings in the earlier mean
-- column camber_count_2 BIGINT: readings in the later mean
-- column caster_count_1 BIGINT: readings in the earlier mean
-- column caster_count_2 BIGINT: readings in the later mean
-- column toe_count_1 BIGINT: readings in the earlier mean
-- column toe_count_2 BIGINT: readings in the later mean
-- column sai_count_1 BIGINT: readings in the earlier mean
-- column sai_count_2 BIGINT: readings in the later mean
with
mixed as (
    select distinct vehicle, corner, visit, phase, true as is_mixed from repeated_readings where mixture is not null
),
-- Hashes, 64 bits each, stand for the keys, which are slow to sort.
ordered as (
    select
        chassis,
        car_lot(vehicle) as lot_of_cars,
        hash(vehicle, corner) as corner_key,
        hash(visit) as visit_key,
        place_in_time(ordered_ts, visit, phase_order) as place,
        hash(vehicle, corner, kit, plate_index, round(offset_out_mm, 3), round(offset_aft_mm, 3)) as place_key,
        corner in ('RL', 'RR') as is_rear,
        visit_kind = 'check' as is_check,
        hash(vehicle, visit) as car_visit,
        measured_ts,
        mounting_count,
        toe_reset,
        offset_out_mm is not null as is_placed,
        case when is_mixed is null then reader end as reader,
        camber_deg,
        caster_deg,
        toe_deg,
        sai_deg,
        camber_count,
        caster_count,
        toe_count,
        sai_count
    from states
    inner join readers on readers.gauge is not distinct from states.gauge
        and readers.technician is not distinct from states.technician
    left join mixed using (vehicle, corner, visit, phase)
),
followed as (
    select
        *,
        lag({
            'visit_key': visit_key,
            'place_key': place_key,
            'is_check': is_check,
            'measured_ts': measured_ts,
            'reader': reader,
            'mounting_count': mounting_count,
            'camber_deg': camber_deg,
            'caster_deg': caster_deg,
            'toe_deg': toe_deg,
            'sai_deg': sai_deg,
            'camber_count': camber_count,
            'caster_count': caster_count,
            'toe_count': toe_count,
            'sai_count': sai_count
        }) over (partition by corner_key order by place) as earlier
    from ordered
)
select
    chassis,
    lot_of_cars,
    cast(corner_key % 65536 as integer) as lot,
    visit_key = earlier.visit_key as same_visit,
    is_rear or (is_check and earlier.is_check) as undisturbed,
    cast(car_visit // 4096 as bigint) as cluster,
    epoch(earlier.measured_ts) / 604800 as earlier_weeks,
    epoch(measured_ts) / 604800 as at_weeks,
    earlier.reader as reader_1,
    reader as reader_2,
    1 / earlier.mounting_count + 1 / mounting_count as mountings,
    camber_deg - earlier.camber_deg as camber_gap_deg,
    caster_deg - earlier.caster_deg as caster_gap_deg,
    case when not toe_reset then toe_deg - earlier.toe_deg end as toe_gap_deg,
    sai_deg - earlier.sai_deg as sai_gap_deg,
    earlier.camber_count as camber_count_1,
    camber_count as camber_count_2,
    earlier.caster_count as caster_count_1,
    caster_count as caster_count_2,
    earlier.toe_count as toe_count_1,
    toe_count as toe_count_2,
    earlier.sai_count as sai_count_1,
    sai_count as sai_count_2
from followed
where measured_ts is not null and is_placed and place_key = earlier.place_key and reader is not null
    and earlier.reader is not null
