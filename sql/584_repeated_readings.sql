-- title: Readings of states that were read more than once
-- grain: one row per reading of a state with a repeat over 1
-- source: placements
-- missing: gauge and technician are NULL where not named; mixture is NULL where one gauge and person read the state
-- column chassis VARCHAR: platform code
-- column state UBIGINT: number of the state, a hash of its names
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR RL RR
-- column visit VARCHAR: visit
-- column phase VARCHAR: before moved after
-- column gauge VARCHAR: measuring equipment
-- column technician VARCHAR: who measured
-- column mixture BIGINT: number of the mixture of gauges and people, with the angles that each read, of this state; a hash of them
-- column camber_deg DOUBLE [deg]: as read
-- column caster_deg DOUBLE [deg]: as read
-- column toe_deg DOUBLE [deg]: as read
-- column sai_deg DOUBLE [deg]: as read
with
repeated as (
    select
        chassis,
        hash(vehicle, corner, visit, phase) as state,
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
    semi join (select vehicle, corner, visit, phase from placements where repeat > 1)
        using (vehicle, corner, visit, phase)
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
    from repeated
    group by state
    having count(distinct {'gauge': gauge, 'technician': technician}) > 1
),
mixtures as (
    -- 52 bits of the hash, so that its negative is a number too, and one that JavaScript has.
    select state, cast(hash(readers) // 4096 as bigint) as mixture from mixed
)
select
    chassis,
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
from repeated
left join mixtures using (state)
