-- title: A chassis whose slope no strut of 400 to 900 mm allows
-- likely: the offsets of most of its moves are in another unit, in the wrong column, or have a sign reversed
-- mend: compare some rows of the chassis with the sheets; correct the file, or its import map, and load it with --replace
select
    flags.chassis,
    cast(null as varchar) as vehicle,
    cast(null as varchar) as corner,
    cast(null as varchar) as visit,
    format(
        '{} changes by {:.3f} deg per mm {}, an effective length of {:.0f} mm: {}',
        replace(response, '_deg', ''), estimate_deg_per_mm, axis, flags.effective_length_mm, flags.flag
    ) as finding,
    cast(null as double) as p_mistake,
    first_moves.source_file,
    first_moves.source_line
from slope_flags as flags
inner join slopes using (chassis, response, axis)
inner join (
    select chassis, response, min(source_file) as source_file, arg_min(source_line, (source_file, source_line)) as source_line
    from moves
    group by chassis, response
) as first_moves using (chassis, response)
where flags.flag is not null
