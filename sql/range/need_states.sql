-- title: The states that needed offsets are read from
-- grain: one row per vehicle, front corner and set of angles that a target of its chassis names
-- source: states, chassis_targets, gauge_noises, reader_worths
-- kept: as a view
-- missing: a corner without a state that has a known offset and every angle that the targets name is left out
-- The newest such state counts, but no after of a session, which may have moved the plate unseen. The mean of a state counts as of one
-- mounting.
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR
-- column names_camber BOOLEAN: for targets that name camber
-- column names_caster BOOLEAN: for targets that name caster
-- column chassis VARCHAR: platform code
-- column visit VARCHAR: visit of the state
-- column phase VARCHAR: before moved after
-- column kit VARCHAR: kit that is fitted; NULL = original mount
-- column offset_out_mm DOUBLE [mm]: bearing offset, outboard
-- column offset_aft_mm DOUBLE [mm]: bearing offset, rearward
-- column read_error_oo_mm2 DOUBLE [mm2]: variance from reading the pointer, outboard
-- column read_error_oa_mm2 DOUBLE [mm2]: its covariance
-- column read_error_aa_mm2 DOUBLE [mm2]: its variance rearward
-- column camber_deg DOUBLE [deg]: mean reading less the bias of who read, as far as known
-- column caster_deg DOUBLE [deg]: the same
-- column toe_deg DOUBLE [deg]: the same, per wheel
-- column camber_var_deg2 DOUBLE [deg2]: what scatters from state to state: variance of the mean of the repeats, and of a set-up where readings tell of it
-- column caster_var_deg2 DOUBLE [deg2]: the same
-- column toe_var_deg2 DOUBLE [deg2]: the same
-- column camber_bias_var_deg2 DOUBLE [deg2]: what is not known of the bias, which states that one gauge read share
-- column caster_bias_var_deg2 DOUBLE [deg2]: the same
-- column source_file VARCHAR: file of the state
-- column source_line INTEGER: line in that file
with
-- Angles that the targets of a chassis name.
named as (
    select distinct
        chassis,
        goal_camber_deg is not null as names_camber,
        goal_caster_deg is not null as names_caster
    from chassis_targets
    where coalesce(goal_camber_deg, goal_caster_deg) is not null
),
fronts as (
    select
        states.*,
        names_camber,
        names_caster,
        place_in_time(ordered_ts, visit, phase_order) as place
    from states
    inner join named on named.chassis = states.chassis
    where corner in ('FL', 'FR')
        and offset_out_mm is not null
        and not (visit_kind = 'session' and phase = 'after')
        and (not names_camber or camber_deg is not null)
        and (not names_caster or caster_deg is not null)
),
latest as (
    select vehicle, corner, names_camber, names_caster, max(place) as place
    from fronts
    group by vehicle, corner, names_camber, names_caster
),
newest as (
    select *
    from fronts
    semi join latest using (vehicle, corner, names_camber, names_caster, place)
)
select
    vehicle,
    corner,
    names_camber,
    names_caster,
    chassis,
    visit,
    phase,
    kit,
    offset_out_mm,
    offset_aft_mm,
    read_error_oo_mm2,
    read_error_oa_mm2,
    read_error_aa_mm2,
    camber_deg - camber_bias_deg as camber_deg,
    caster_deg - caster_bias_deg as caster_deg,
    toe_deg - toe_bias_deg as toe_deg,
    mean_var(power(camber_sd_deg, 2), noises.camber_shared_deg2, nullif(camber_count, 0)) + camber_told_var_deg2
        as camber_var_deg2,
    mean_var(power(caster_sd_deg, 2), noises.caster_shared_deg2, nullif(caster_count, 0)) + caster_told_var_deg2
        as caster_var_deg2,
    mean_var(power(toe_sd_deg, 2), noises.toe_shared_deg2, nullif(toe_count, 0)) + toe_told_var_deg2 as toe_var_deg2,
    camber_bias_var_deg2,
    caster_bias_var_deg2,
    source_file,
    source_line
from newest
inner join gauge_noises as noises on noises.gauge is not distinct from newest.gauge
-- Whoever is not among the readers is anyone.
left join (select reader from reader_worths) as known
    on known.reader = cast(hash(newest.gauge, technician) // 4096 as bigint)
inner join reader_worths as worths on worths.reader = coalesce(known.reader, 0)
