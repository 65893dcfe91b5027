-- title: What each session did to the readings
-- grain: one row per session visit, corner and angle that was read before and after
-- source: session_pairs
-- kept: as a view
-- missing: toe is left out where tie rods were turned in between; a gauge is NULL where it was not named or repeats used several
-- column chassis VARCHAR: platform code
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR RL RR
-- column visit VARCHAR: visit
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column change_deg DOUBLE [deg]: after minus before, means of the repeats
-- column before_count BIGINT: readings before
-- column after_count BIGINT: readings after
-- column before_gauge VARCHAR: gauge before
-- column after_gauge VARCHAR: gauge after
select
    chassis,
    vehicle,
    corner,
    visit,
    'camber_deg' as response,
    camber_change_deg as change_deg,
    before_camber_count as before_count,
    after_camber_count as after_count,
    before_gauge,
    after_gauge
from session_pairs
where camber_change_deg is not null
union all
select
    chassis,
    vehicle,
    corner,
    visit,
    'caster_deg' as response,
    caster_change_deg as change_deg,
    before_caster_count as before_count,
    after_caster_count as after_count,
    before_gauge,
    after_gauge
from session_pairs
where caster_change_deg is not null
union all
select
    chassis,
    vehicle,
    corner,
    visit,
    'toe_deg' as response,
    toe_change_deg as change_deg,
    before_toe_count as before_count,
    after_toe_count as after_count,
    before_gauge,
    after_gauge
from session_pairs
where toe_change_deg is not null
union all
select
    chassis,
    vehicle,
    corner,
    visit,
    'sai_deg' as response,
    sai_change_deg as change_deg,
    before_sai_count as before_count,
    after_sai_count as after_count,
    before_gauge,
    after_gauge
from session_pairs
where sai_change_deg is not null
