-- title: How sure the reading of a state is
-- grain: one row per vehicle, corner, visit, phase and angle that was read
-- source: placements, reading_noise, gauge_effects, gauge_priors
-- missing: gauges and technicians are NULL where none was named
-- A standard deviation known with few degrees of freedom counts as wider, so that normal limits with it hold 95 %.
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR RL RR
-- column visit VARCHAR: visit
-- column phase VARCHAR: before moved after
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column read_var_deg2 DOUBLE [deg2]: variance of the mean of the readings
-- column gauges VARCHAR: gauges used, or pairs of gauge and person where these are confounded
-- column gauge_effect_deg DOUBLE [deg]: mean bias of those gauges, 0 where not known
-- column gauge_effect_var_deg2 DOUBLE [deg2]: its variance
-- column technicians VARCHAR: people who read
-- column technician_effect_deg DOUBLE [deg]: mean bias of those people, 0 where not known
-- column technician_effect_var_deg2 DOUBLE [deg2]: its variance
with
readings_long as (
    unpivot (
        select vehicle, corner, visit, phase, gauge, technician, camber_deg, caster_deg, toe_deg, sai_deg
        from placements
    ) on camber_deg, caster_deg, toe_deg, sai_deg into name response value read_deg
),
noises as (
    select
        gauge,
        response,
        power(sd_deg * t_quantile(0.975, df + 4) / normal_quantile(0.975), 2) as read_var
    from reading_noise
),
effects as (
    select response, kind, gauge, technician, bias_deg, coalesce(bias_var_deg2, effect_var_deg2) as effect_var from gauge_effects
),
confounding as (
    select count(*) > 0 as confounded from gauge_factors where kind = 'pair'
),
rated as (
    select
        readings_long.*,
        noises.read_var,
        case when confounded then coalesce(gauge_side.gauge || ' with ' || gauge_side.technician, readings_long.gauge) else readings_long.gauge end
            as gauge_name,
        coalesce(gauge_side.bias_deg, 0) as gauge_effect,
        coalesce(gauge_side.effect_var, bias_sd_deg * bias_sd_deg) as gauge_effect_var,
        coalesce(person_side.bias_deg, 0) as technician_effect,
        case when confounded then 0 else coalesce(person_side.effect_var, bias_sd_deg * bias_sd_deg / 4) end as technician_effect_var
    from readings_long
    cross join confounding
    inner join noises on noises.gauge is not distinct from readings_long.gauge and noises.response = readings_long.response
    inner join gauge_priors on gauge_priors.response = readings_long.response
    left join effects as gauge_side
        on gauge_side.response = readings_long.response
        and gauge_side.kind in ('gauge', 'pair')
        and gauge_side.gauge = readings_long.gauge
        and (gauge_side.kind = 'gauge' or gauge_side.technician is not distinct from readings_long.technician)
    left join effects as person_side
        on person_side.response = readings_long.response
        and person_side.kind = 'technician'
        and person_side.technician = readings_long.technician
)
select
    vehicle,
    corner,
    visit,
    phase,
    response,
    exact_sum(read_var) / count(*) / count(*) as read_var_deg2,
    string_agg(distinct gauge_name, ', ' order by gauge_name) as gauges,
    exact_sum(gauge_effect) / count(*) as gauge_effect_deg,
    exact_sum(gauge_effect_var) / count(*) as gauge_effect_var_deg2,
    string_agg(distinct technician, ', ' order by technician) as technicians,
    exact_sum(technician_effect) / count(*) as technician_effect_deg,
    exact_sum(technician_effect_var) / count(*) as technician_effect_var_deg2
from rated
group by vehicle, corner, visit, phase, response
