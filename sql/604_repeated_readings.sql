-- title: Readings of states that were read more than once
-- grain: one row per reading of a state with a repeat over 1
-- source: placements
-- missing: gauge and technician are NULL where not named; mixture is NULL where one gauge and person read the state
-- column state INTEGER: number of the state
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR RL RR
-- column visit VARCHAR: visit
-- column phase VARCHAR: before moved after
-- column gauge VARCHAR: measuring equipment
-- column technician VARCHAR: who measured
-- column mixture INTEGER: number of the mixture of gauges and people, with the angles that each read, of this state
-- column camber_deg DOUBLE [deg]: as read
-- column caster_deg DOUBLE [deg]: as read
-- column toe_deg DOUBLE [deg]: as read
-- column sai_deg DOUBLE [deg]: as read
with
repeated as (
    select
        cast(row_number() over (order by vehicle, corner, visit, phase) as integer) as state,
        vehicle,
        corner,
        visit,
        phase
    from (select distinct vehicle, corner, visit, phase from placements where repeat > 1)
),
readings_of as (
    select
        state,
        vehicle,
        corner,
        visit,
        phase,
        gauge,
        technician,
        camber_deg,
        caster_deg,
        toe_deg,
        sai_deg
    from placements
    inner join repeated using (vehicle, corner, visit, phase)
),
mixed as (
    select
        state,
        list_sort(list({
            'gauge': gauge,
            'technician': technician,
            'has_camber': camber_deg is not null,
            'has_caster': caster_deg is not null,
            'has_toe': toe_deg is not null,
            'has_sai': sai_deg is not null
        })) as readers
    from readings_of
    group by state
    having count(distinct {'gauge': gauge, 'technician': technician}) > 1
),
mixtures as (
    select readers, cast(row_number() over (order by readers) as integer) as mixture
    from (select distinct readers from mixed)
)
select
    state,
    vehicle,
    corner,
    visit,
    phase,
    gauge,
    technician,
    mixture,
    camber_deg,
    caster_deg,
    toe_deg,
    sai_deg
from readings_of
left join mixed using (state)
left join mixtures using (readers)
