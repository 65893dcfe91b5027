-- title: A chassis whose slope no strut of 400 to 900 mm allows
-- likely: the offsets of most of its moves are in another unit, in the wrong column, or have a sign reversed
-- mend: compare some rows of the chassis with the sheets; correct the file, or its import map, and load it with --replace
-- explains: offset_unit_or_sign, toe_total_as_wheel, swapped_sides, wrong_placement, lost_camber_sign, downweighted_moves
-- Prior odds 1 : 50 that the offsets of a chassis are wrong as a whole, with slopes of either sign up to some tenths of a degree
-- per mm (sd 0.3), against the geometric prior of angle_priors (odds and spread from memory).
with
first_moves as (
    select chassis, response, min(source_file) as source_file,
        arg_min(source_line, (source_file, source_line)) as source_line
    from moves
    group by chassis, response
)
select
    flags.chassis,
    cast(null as varchar) as vehicle,
    cast(null as varchar) as corner,
    cast(null as varchar) as visit,
    format(
        '{} changes by {:.3f} deg per mm {}{}: {}',
        angle_name(response),
        estimate_deg_per_mm,
        axis,
        -- No length changes an angle by exactly nothing.
        coalesce(format(', an effective length of {:.0f} mm', flags.effective_length_mm), ''),
        flags.flag
    ) as finding,
    posterior(
        1 / 50.0,
        log_normal(estimate_deg_per_mm, power(0.3, 2) + power(flags.std_error_deg_per_mm, 2))
            - log_normal(
                estimate_deg_per_mm - case axis when 'out' then mean_out else mean_aft end,
                power(case axis when 'out' then sd_out else sd_aft end, 2) + power(flags.std_error_deg_per_mm, 2)
            )
    ) as p_mistake,
    source_file,
    source_line
from slope_flags as flags
inner join slopes using (chassis, response, axis)
inner join angle_priors using (response)
inner join first_moves using (chassis, response)
where flags.flag is not null
