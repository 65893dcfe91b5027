-- title: Settings, all angles in one row
-- grain: one row per front corner of an install or adjust visit that has a before or an after
-- source: states, scale_ends, front_slopes, readers, reader_worths
-- missing: what was not read is NULL, and so is all of an after that is missing (left_behind is false)
-- *_u_deg is of the true angle: repeats, set-up and bias of who read (JCGM 100:2008, 5.1; from memory). *_apart_u_deg leaves the bias out,
-- which two readings by one gauge and person share, *_scatter_u_deg also a set-up that is only expected.
-- *_most_deg_per_mm, *_least_deg_per_mm: what one millimetre beyond an end of a scale would do to the angle, the largest and the
-- smallest of the pointers that stand at an end; NULL where none does.
-- column chassis VARCHAR: platform code
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR
-- column visit VARCHAR: visit
-- column left_behind BOOLEAN: there is an after; the columns up to caster_least_deg_per_mm are of it
-- column visit_kind VARCHAR: install adjust
-- column measured_ts TIMESTAMP: when it was read, local wall time
-- column ordered_ts TIMESTAMP: for the order of the car's states, see states
-- column kit VARCHAR: NULL = original mount
-- column plate_index INTEGER: bolt position
-- column plate_hand VARCHAR: left right
-- column gauge VARCHAR: measuring equipment; NULL = not named
-- column technician VARCHAR: who measured; NULL = not named
-- column target VARCHAR: what it was set to
-- column offset_out_mm DOUBLE [mm]: bearing offset, outboard
-- column offset_aft_mm DOUBLE [mm]: bearing offset, rearward
-- column tie_rods_turned BOOLEAN: since the before
-- column camber_deg DOUBLE [deg]: mean reading
-- column caster_deg DOUBLE [deg]: mean reading
-- column toe_deg DOUBLE [deg]: mean reading, per wheel
-- column camber_u_deg DOUBLE [deg]: standard uncertainty of the true angle
-- column camber_apart_u_deg DOUBLE [deg]: the same without the bias
-- column camber_scatter_u_deg DOUBLE [deg]: part that scatters from setting to setting, as far as readings tell
-- column camber_bias_deg DOUBLE [deg]: what who read adds to the true angle, as far as known
-- column caster_u_deg DOUBLE [deg]: standard uncertainty of the true angle
-- column caster_apart_u_deg DOUBLE [deg]: the same without the bias
-- column caster_scatter_u_deg DOUBLE [deg]: part that scatters from setting to setting, as far as readings tell
-- column caster_bias_deg DOUBLE [deg]: what who read adds to the true angle, as far as known
-- column toe_u_deg DOUBLE [deg]: standard uncertainty of the true angle
-- column toe_apart_u_deg DOUBLE [deg]: the same without the bias
-- column toe_scatter_u_deg DOUBLE [deg]: part that scatters from setting to setting, as far as readings tell
-- column toe_bias_deg DOUBLE [deg]: what who read adds to the true angle, as far as known
-- column camber_most_deg_per_mm DOUBLE [deg/mm]: largest beyond an end
-- column camber_least_deg_per_mm DOUBLE [deg/mm]: smallest beyond an end
-- column caster_most_deg_per_mm DOUBLE [deg/mm]: largest beyond an end
-- column caster_least_deg_per_mm DOUBLE [deg/mm]: smallest beyond an end
-- column source_file VARCHAR: file of the after
-- column source_line INTEGER: line in that file
-- column found BOOLEAN: there is a before; the columns after this one are of it
-- column found_ts TIMESTAMP: when it was read, local wall time
-- column found_ordered_ts TIMESTAMP: for the order of the car's states
-- column found_kit VARCHAR: NULL = original mount
-- column found_gauge VARCHAR: measuring equipment; NULL = not named
-- column found_technician VARCHAR: who measured; NULL = not named
-- column found_out_mm DOUBLE [mm]: bearing offset, outboard
-- column found_aft_mm DOUBLE [mm]: bearing offset, rearward
-- column found_camber_deg DOUBLE [deg]: mean reading
-- column found_caster_deg DOUBLE [deg]: mean reading
-- column found_toe_deg DOUBLE [deg]: mean reading, per wheel
-- column found_camber_u_deg DOUBLE [deg]: standard uncertainty of the true angle
-- column found_camber_apart_u_deg DOUBLE [deg]: the same without the bias
-- column found_camber_bias_deg DOUBLE [deg]: what who read adds to the true angle, as far as known
-- column found_caster_u_deg DOUBLE [deg]: standard uncertainty of the true angle
-- column found_caster_apart_u_deg DOUBLE [deg]: the same without the bias
-- column found_caster_bias_deg DOUBLE [deg]: what who read adds to the true angle, as far as known
-- column found_toe_u_deg DOUBLE [deg]: standard uncertainty of the true angle
-- column found_toe_apart_u_deg DOUBLE [deg]: the same without the bias
-- column found_toe_bias_deg DOUBLE [deg]: what who read adds to the true angle, as far as known
with
at_ends as (
    select
        vehicle,
        corner,
        visit,
        camber_out * end_1_out + camber_aft * end_1_aft as camber_1,
        camber_out * end_2_out + camber_aft * end_2_aft as camber_2,
        caster_out * end_1_out + caster_aft * end_1_aft as caster_1,
        caster_out * end_2_out + caster_aft * end_2_aft as caster_2
    from scale_ends
    inner join front_slopes on front_slopes.chassis = scale_ends.chassis
    where phase = 'after'
),
turned as (
    select vehicle, corner, visit
    from states
    where phase = 'moved' and visit_kind in ('install', 'adjust') and corner in ('FL', 'FR') and toe_reset
),
-- A plate moves front corners only. Whoever is not among the readers is anyone.
fronts as (
    select *, reader_of(gauge, technician) as own_reader
    from states
    where visit_kind in ('install', 'adjust') and corner in ('FL', 'FR') and phase <> 'moved'
),
rated as (
    select
        fronts.*,
        worths.*,
        camber_bias_deg + walked(camber_walk, weeks_of(measured_ts)) as camber_then_deg,
        bias_var_then(camber_bias_var_deg2, camber_walk, measured_ts) as camber_var_then,
        caster_bias_deg + walked(caster_walk, weeks_of(measured_ts)) as caster_then_deg,
        bias_var_then(caster_bias_var_deg2, caster_walk, measured_ts) as caster_var_then,
        toe_bias_deg + walked(toe_walk, weeks_of(measured_ts)) as toe_then_deg,
        bias_var_then(toe_bias_var_deg2, toe_walk, measured_ts) as toe_var_then,
        mean_var(camber_one_var_deg2, camber_shared_deg2, nullif(camber_count, 0)) as camber_mean_var,
        set_up_over(camber_set_up_var_deg2, camber_mounting_var_deg2, mounting_count) as camber_set_up,
        sqrt(camber_mean_var + camber_set_up + camber_var_then) as camber_u_deg,
        sqrt(camber_mean_var + camber_set_up) as camber_apart_u_deg,
        sqrt(camber_mean_var + camber_told_var_deg2) as camber_scatter_u_deg,
        mean_var(caster_one_var_deg2, caster_shared_deg2, nullif(caster_count, 0)) as caster_mean_var,
        set_up_over(caster_set_up_var_deg2, caster_mounting_var_deg2, mounting_count) as caster_set_up,
        sqrt(caster_mean_var + caster_set_up + caster_var_then) as caster_u_deg,
        sqrt(caster_mean_var + caster_set_up) as caster_apart_u_deg,
        sqrt(caster_mean_var + caster_told_var_deg2) as caster_scatter_u_deg,
        mean_var(toe_one_var_deg2, toe_shared_deg2, nullif(toe_count, 0)) as toe_mean_var,
        set_up_over(toe_set_up_var_deg2, toe_mounting_var_deg2, mounting_count) as toe_set_up,
        sqrt(toe_mean_var + toe_set_up + toe_var_then) as toe_u_deg,
        sqrt(toe_mean_var + toe_set_up) as toe_apart_u_deg,
        sqrt(toe_mean_var + toe_told_var_deg2) as toe_scatter_u_deg
    from fronts
    left join (select reader as known_reader from readers) as known on known_reader = own_reader
    inner join reader_worths as worths on worths.reader = coalesce(known_reader, 0)
),
afters as (
    select * from rated where phase = 'after'
),
befores as (
    select * from rated where phase = 'before'
)
select
    coalesce(afters.chassis, befores.chassis) as chassis,
    vehicle,
    corner,
    visit,
    afters.phase is not null as left_behind,
    coalesce(afters.visit_kind, befores.visit_kind) as visit_kind,
    afters.measured_ts,
    afters.ordered_ts,
    afters.kit,
    afters.plate_index,
    afters.plate_hand,
    afters.gauge,
    afters.technician,
    afters.target,
    afters.offset_out_mm,
    afters.offset_aft_mm,
    afters.toe_reset or turned.vehicle is not null as tie_rods_turned,
    afters.camber_deg,
    afters.caster_deg,
    afters.toe_deg,
    afters.camber_u_deg,
    afters.camber_apart_u_deg,
    afters.camber_scatter_u_deg,
    case when afters.camber_deg is not null then afters.camber_then_deg end as camber_bias_deg,
    afters.caster_u_deg,
    afters.caster_apart_u_deg,
    afters.caster_scatter_u_deg,
    case when afters.caster_deg is not null then afters.caster_then_deg end as caster_bias_deg,
    afters.toe_u_deg,
    afters.toe_apart_u_deg,
    afters.toe_scatter_u_deg,
    case when afters.toe_deg is not null then afters.toe_then_deg end as toe_bias_deg,
    greatest(camber_1, camber_2) as camber_most_deg_per_mm,
    least(camber_1, camber_2) as camber_least_deg_per_mm,
    greatest(caster_1, caster_2) as caster_most_deg_per_mm,
    least(caster_1, caster_2) as caster_least_deg_per_mm,
    afters.source_file,
    afters.source_line,
    befores.phase is not null as found,
    befores.measured_ts as found_ts,
    befores.ordered_ts as found_ordered_ts,
    befores.kit as found_kit,
    befores.gauge as found_gauge,
    befores.technician as found_technician,
    befores.offset_out_mm as found_out_mm,
    befores.offset_aft_mm as found_aft_mm,
    befores.camber_deg as found_camber_deg,
    befores.caster_deg as found_caster_deg,
    befores.toe_deg as found_toe_deg,
    befores.camber_u_deg as found_camber_u_deg,
    befores.camber_apart_u_deg as found_camber_apart_u_deg,
    case when befores.camber_deg is not null then befores.camber_then_deg end as found_camber_bias_deg,
    befores.caster_u_deg as found_caster_u_deg,
    befores.caster_apart_u_deg as found_caster_apart_u_deg,
    case when befores.caster_deg is not null then befores.caster_then_deg end as found_caster_bias_deg,
    befores.toe_u_deg as found_toe_u_deg,
    befores.toe_apart_u_deg as found_toe_apart_u_deg,
    case when befores.toe_deg is not null then befores.toe_then_deg end as found_toe_bias_deg
from afters
full join befores using (vehicle, corner, visit)
left join turned using (vehicle, corner, visit)
left join at_ends using (vehicle, corner, visit)
