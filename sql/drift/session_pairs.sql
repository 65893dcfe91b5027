-- title: What each session did to the readings, one row with all angles
-- grain: one row per session visit and corner that was read before and after
-- source: states of session visits, repeated_readings
-- missing: a change is NULL where the angle was not read both times, for toe also where tie rods were turned in between
-- column chassis VARCHAR: platform code
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR RL RR
-- column visit VARCHAR: visit
-- column camber_change_deg DOUBLE [deg]: after minus before, means of the repeats
-- column caster_change_deg DOUBLE [deg]: after minus before
-- column toe_change_deg DOUBLE [deg]: after minus before, per wheel
-- column sai_change_deg DOUBLE [deg]: after minus before
-- column before_camber_count BIGINT: readings before
-- column after_camber_count BIGINT: readings after
-- column before_caster_count BIGINT: readings before
-- column after_caster_count BIGINT: readings after
-- column before_toe_count BIGINT: readings before
-- column after_toe_count BIGINT: readings after
-- column before_sai_count BIGINT: readings before
-- column after_sai_count BIGINT: readings after
-- column before_gauge VARCHAR: gauge before; NULL where it was not named or repeats used several
-- column after_gauge VARCHAR: gauge after
-- column before_technician VARCHAR: who measured before; NULL where not named or repeats used several
-- column after_technician VARCHAR: who measured after
-- column before_reader BIGINT: number in readers; less than 0: the negative of mixture in repeated_readings
-- column after_reader BIGINT: the same of who read after
with
mixed as (
    select distinct vehicle, corner, visit, phase, mixture from repeated_readings where mixture is not null
),
sessions as not materialized (
    select * from states where visit_kind = 'session'
)
select
    later.chassis,
    later.vehicle,
    later.corner,
    later.visit,
    round(later.camber_deg - earlier.camber_deg, 6) as camber_change_deg,
    round(later.caster_deg - earlier.caster_deg, 6) as caster_change_deg,
    case when not later.toe_reset then round(later.toe_deg - earlier.toe_deg, 6) end as toe_change_deg,
    round(later.sai_deg - earlier.sai_deg, 6) as sai_change_deg,
    earlier.camber_count as before_camber_count,
    later.camber_count as after_camber_count,
    earlier.caster_count as before_caster_count,
    later.caster_count as after_caster_count,
    earlier.toe_count as before_toe_count,
    later.toe_count as after_toe_count,
    earlier.sai_count as before_sai_count,
    later.sai_count as after_sai_count,
    earlier.gauge as before_gauge,
    later.gauge as after_gauge,
    earlier.technician as before_technician,
    later.technician as after_technician,
    coalesce(-mixed_before.mixture, reader_of(earlier.gauge, earlier.technician)) as before_reader,
    coalesce(-mixed_after.mixture, reader_of(later.gauge, later.technician)) as after_reader
from sessions as later
inner join sessions as earlier
    on earlier.vehicle = later.vehicle
    and earlier.corner = later.corner
    and earlier.visit = later.visit
left join (select * from mixed where phase = 'before') as mixed_before
    on mixed_before.vehicle = later.vehicle and mixed_before.corner = later.corner and mixed_before.visit = later.visit
left join (select * from mixed where phase = 'after') as mixed_after
    on mixed_after.vehicle = later.vehicle and mixed_after.corner = later.corner and mixed_after.visit = later.visit
where earlier.phase = 'before' and later.phase = 'after'
