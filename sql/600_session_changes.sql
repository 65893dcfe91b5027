-- title: What each session did to the readings
-- grain: one row per session visit, corner and angle that was read before and after
-- source: states of session visits
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
with
sessions as (
    select * from states where visit_kind = 'session'
),
pairs as (
    select
        later.chassis,
        later.vehicle,
        later.corner,
        later.visit,
        earlier.gauge as before_gauge,
        later.gauge as after_gauge,
        unnest([
            {
                'response': 'camber_deg',
                'change_deg': later.camber_deg - earlier.camber_deg,
                'before_count': earlier.camber_count,
                'after_count': later.camber_count
            },
            {
                'response': 'caster_deg',
                'change_deg': later.caster_deg - earlier.caster_deg,
                'before_count': earlier.caster_count,
                'after_count': later.caster_count
            },
            {
                'response': 'toe_deg',
                'change_deg': case when not later.toe_reset then later.toe_deg - earlier.toe_deg end,
                'before_count': earlier.toe_count,
                'after_count': later.toe_count
            },
            {
                'response': 'sai_deg',
                'change_deg': later.sai_deg - earlier.sai_deg,
                'before_count': earlier.sai_count,
                'after_count': later.sai_count
            }
        ], recursive := true)
    from sessions as later
    inner join sessions as earlier
        on earlier.vehicle = later.vehicle
        and earlier.corner = later.corner
        and earlier.visit = later.visit
    where earlier.phase = 'before' and later.phase = 'after'
)
select
    chassis,
    vehicle,
    corner,
    visit,
    response,
    round(change_deg, 6) as change_deg,
    before_count,
    after_count,
    before_gauge,
    after_gauge
from pairs
where change_deg is not null
