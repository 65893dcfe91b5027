-- title: Variance of a reading, by reader
-- grain: one row per angle and reader: a gauge and person of readers, or a mixture of repeated_readings, on average of its readings; reader 0 is anyone else
-- source: readers, repeated_readings, reading_noise, set_ups, reader_biases, gauge_effects, angle_priors
-- missing: gauges and technicians are NULL where none was named
-- reading = angle of the corner + bias(gauge, person) + set-up(visit, gauge, mounting) + repeat + display step, each with its variance here
-- (JCGM 100:2008, 4 and 5; ISO 5725-2:2019 for repeatability and intermediate precision; from memory). sql/functions/060 says how they
-- add up for a mean of repeats, the truth, a difference within a visit, across visits and across gauges.
-- A standard deviation known with few degrees of freedom counts as wider, so that normal limits with it hold 95 %.
-- column reader BIGINT: number in readers; less than 0: the negative of mixture in repeated_readings
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column read_var_deg2 DOUBLE [deg2]: variance of one reading
-- column shared_var_deg2 DOUBLE [deg2]: part of it that repeats of one state have in common
-- column one_var_deg2 DOUBLE [deg2]: variance of one reading, not widened for its degrees of freedom
-- column noise_source VARCHAR: repeats sessions typical prior, see reading_noise; NULL for a mixture
-- column set_up_var_deg2 DOUBLE [deg2]: variance of a set-up, see set_ups
-- column mounting_var_deg2 DOUBLE [deg2]: part of it that another mounting changes while the car stands
-- column set_up_source VARCHAR: visits typical prior; NULL for a mixture
-- column bias_deg DOUBLE [deg]: what the reader adds to the true angle, as far as known, see reader_biases
-- column bias_var_deg2 DOUBLE [deg2]: its variance
-- column walk DOUBLE[]: how the gauge walks, see walk_of; NULL where it does not, and for a mixture
-- column gauges VARCHAR: gauges used, or pairs of gauge and person where these are confounded
-- column gauge_effect_deg DOUBLE [deg]: mean bias of those gauges, 0 where not known
-- column gauge_effect_var_deg2 DOUBLE [deg2]: its variance
-- column technicians VARCHAR: people who read
-- column technician_effect_deg DOUBLE [deg]: mean bias of those people, 0 where not known
-- column technician_effect_var_deg2 DOUBLE [deg2]: its variance
with
noises as (
    select
        gauge,
        response,
        power(sd_deg * t_quantile(0.975, df + 4) / normal_quantile(0.975), 2) as read_var,
        shared_var_deg2,
        sd_deg * sd_deg as one_var,
        source as noise_source
    from reading_noise
),
everyone as (
    select reader, gauge, technician from readers
    union all
    select cast(0 as bigint) as reader, cast(null as varchar) as gauge, cast(null as varchar) as technician
),
effects as (
    select response, kind, gauge, technician, bias_deg, coalesce(bias_var_deg2, effect_var_deg2) as effect_var
        from gauge_effects
),
confounding as (
    select count(*) > 0 as confounded from gauge_effects where kind = 'pair'
),
rated as (
    select
        readers.reader,
        readers.gauge,
        readers.technician,
        noises.response,
        read_var,
        shared_var_deg2,
        one_var,
        noise_source,
        set_up_var_deg2,
        mounting_var_deg2,
        set_ups.source as set_up_source,
        biases.step_deg as bias_deg,
        biases.step_var_deg2 as bias_var_deg2,
        walk_of(bias_rate_deg_per_week, bias_rate_var_deg2, walk_middle_weeks, walk_weeks) as walk,
        case
            when confounded then coalesce(gauge_side.gauge || ' with ' || gauge_side.technician, readers.gauge)
            else readers.gauge
        end as gauge_name,
        coalesce(gauge_side.bias_deg, 0) as gauge_effect,
        coalesce(gauge_side.effect_var, bias_sd_deg * bias_sd_deg) as gauge_effect_var,
        coalesce(person_side.bias_deg, 0) as technician_effect,
        case when confounded then 0
            else coalesce(person_side.effect_var, bias_sd_deg * bias_sd_deg / 4) end as technician_effect_var
    from everyone as readers
    cross join confounding
    inner join noises on noises.gauge is not distinct from readers.gauge
    inner join set_ups on set_ups.gauge is not distinct from readers.gauge and set_ups.response = noises.response
    inner join (select * from reader_biases where reader_1 is null) as biases
        on biases.reader_2 = readers.reader and biases.response = noises.response
    inner join angle_priors on angle_priors.response = noises.response
    left join effects as gauge_side
        on gauge_side.response = noises.response
        and gauge_side.kind in ('gauge', 'pair')
        and gauge_side.gauge is not distinct from readers.gauge
        and (gauge_side.kind = 'gauge' or gauge_side.technician is not distinct from readers.technician)
    left join effects as person_side
        on person_side.response = noises.response
        and person_side.kind = 'technician'
        and person_side.technician = readers.technician
),
-- One state stands for all with its mixture.
mixed_readings as (
    unpivot (
        select mixture, gauge, technician, camber_deg, caster_deg, toe_deg, sai_deg
        from repeated_readings
        where state in (select min(state) from repeated_readings where mixture is not null group by mixture)
    ) on camber_deg, caster_deg, toe_deg, sai_deg into name response value read_deg
)
select
    reader,
    response,
    read_var as read_var_deg2,
    shared_var_deg2,
    one_var as one_var_deg2,
    noise_source,
    set_up_var_deg2,
    mounting_var_deg2,
    set_up_source,
    bias_deg,
    bias_var_deg2,
    walk,
    gauge_name as gauges,
    gauge_effect as gauge_effect_deg,
    gauge_effect_var as gauge_effect_var_deg2,
    technician as technicians,
    technician_effect as technician_effect_deg,
    technician_effect_var as technician_effect_var_deg2
from rated
union all
select
    -mixture as reader,
    rated.response,
    exact_sum(read_var) / count(*) as read_var_deg2,
    exact_sum(shared_var_deg2) / count(*) as shared_var_deg2,
    exact_sum(one_var) / count(*) as one_var_deg2,
    cast(null as varchar) as noise_source,
    exact_sum(set_up_var_deg2) / count(*) as set_up_var_deg2,
    exact_sum(mounting_var_deg2) / count(*) as mounting_var_deg2,
    cast(null as varchar) as set_up_source,
    exact_sum(bias_deg) / count(*) as bias_deg,
    exact_sum(bias_var_deg2) / count(*) as bias_var_deg2,
    cast(null as double[]) as walk,
    string_agg(distinct gauge_name, ', ' order by gauge_name) as gauges,
    exact_sum(gauge_effect) / count(*) as gauge_effect_deg,
    exact_sum(gauge_effect_var) / count(*) as gauge_effect_var_deg2,
    string_agg(distinct rated.technician, ', ' order by rated.technician) as technicians,
    exact_sum(technician_effect) / count(*) as technician_effect_deg,
    exact_sum(technician_effect_var) / count(*) as technician_effect_var_deg2
from mixed_readings
inner join rated
    on rated.response = mixed_readings.response
    and rated.gauge is not distinct from mixed_readings.gauge
    and rated.technician is not distinct from mixed_readings.technician
where rated.reader <> 0
group by mixture, rated.response
