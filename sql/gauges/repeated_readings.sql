-- title: Readings of states that were read more than once
-- grain: one row per reading of a state with a repeat over 1
-- source: readings, condition_levels
-- missing: gauge and technician are NULL where not named; mixture is NULL where one gauge and person read the state, and of readings that its mean leaves out
-- Readings under other conditions (condition_levels) are not of one state. Readings with one gauge and person of one state that have
-- several mountings are the pairs that tell what mounting the gauge anew adds.
-- column chassis VARCHAR: platform code
-- column state UBIGINT: number of the state, a hash of its names, and of its conditions where they differ
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR RL RR
-- column visit VARCHAR: visit
-- column phase VARCHAR: before moved after
-- column gauge VARCHAR: measuring equipment
-- column technician VARCHAR: who measured
-- column mixture BIGINT: number of the mixture of gauges and people, with the angles that each read, of this state; a hash of them
-- column mounting INTEGER: 1, 2, ... of the gauge in this state, one more for each reading that says remounted; NULL where no reading of the state says yes or no
-- column camber_deg DOUBLE [deg]: as read
-- column caster_deg DOUBLE [deg]: as read
-- column toe_deg DOUBLE [deg]: as read
-- column sai_deg DOUBLE [deg]: as read
with
mountings as (
    select
        vehicle,
        corner,
        visit,
        phase,
        coalesce(repeat, 1) as repeat,
        1 + cast(
            count(*) filter (where remounted = 'yes' and repeat > 1) over (
                partition by vehicle, corner, visit, phase, gauge order by coalesce(repeat, 1)
            ) as integer
        ) as mounting
    from readings
    semi join (
        select vehicle, corner, visit, phase from readings where remounted is not null
    ) as telling using (vehicle, corner, visit, phase)
),
repeated as (
    select
        chassis,
        case
            when coalesce(level, 1) = 1 then hash(vehicle, corner, visit, phase)
            else hash(vehicle, corner, visit, phase, level)
        end as state,
        coalesce(level, 1) = 1 as in_mean,
        mounting,
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
    from (
        select chassis, vehicle, corner, visit, phase, coalesce(repeat, 1) as repeat, gauge, technician, camber_deg,
            caster_deg, toe_deg, sai_deg
        from readings
    ) as reads
    left join (select vehicle, corner, visit, phase, repeat, level from condition_levels) as levels
        using (vehicle, corner, visit, phase, repeat)
    left join mountings using (vehicle, corner, visit, phase, repeat)
    semi join (select vehicle, corner, visit, phase from readings where repeat > 1) as again
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
    where in_mean
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
    mounting,
    camber_deg,
    caster_deg,
    toe_deg,
    sai_deg
from repeated
left join mixtures using (state)
