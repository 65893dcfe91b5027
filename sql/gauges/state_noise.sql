-- title: Variance of the mean reading of a state
-- grain: one row per vehicle, corner, visit, phase and angle that was read
-- source: states, readers, repeated_readings, reader_noise
-- kept: as a view
-- missing: none
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR RL RR
-- column visit VARCHAR: visit
-- column phase VARCHAR: before moved after
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column read_var_deg2 DOUBLE [deg2]: variance of the mean of the readings
with
mixed as (
    select distinct vehicle, corner, visit, phase, -mixture as reader from repeated_readings where mixture is not null
),
counted as (
    select
        states.vehicle,
        states.corner,
        states.visit,
        states.phase,
        coalesce(mixed.reader, readers.reader) as reader,
        unnest([
            {'response': 'camber_deg', 'read_count': camber_count},
            {'response': 'caster_deg', 'read_count': caster_count},
            {'response': 'toe_deg', 'read_count': toe_count},
            {'response': 'sai_deg', 'read_count': sai_count}
        ], recursive := true)
    from (
        select vehicle, corner, visit, phase, gauge, technician, camber_count, caster_count, toe_count,
        sai_count from states
    ) as states
    left join mixed using (vehicle, corner, visit, phase)
    left join (select reader, gauge, technician from readers) as readers
        on readers.gauge is not distinct from states.gauge and readers.technician is not distinct from states.technician
)
select vehicle, corner, visit, phase, response, mean_var(read_var_deg2, shared_var_deg2, read_count) as read_var_deg2
from counted
inner join reader_noise using (reader, response)
where read_count > 0
