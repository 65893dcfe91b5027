-- The table: slopes of the 40 chassis with the most moves; chassis_count counts all of them.
with
ranked_chassis as (
    select
        chassis,
        row_number() over (order by max(move_count) desc, chassis) as chassis_rank,
        count(*) over () as chassis_count
    from slopes
    group by chassis
)
select
    chassis_rank,
    chassis_count,
    slopes.chassis,
    response,
    axis,
    estimate_deg_per_mm,
    conf_low_deg_per_mm,
    conf_high_deg_per_mm,
    df,
    move_count,
    vehicle_count,
    shrunk_deg_per_mm,
    shrunk_std_error_deg_per_mm,
    effective_length_mm,
    flag,
    reason,
    install_count,
    unequal_toe_count,
    no_caster_count,
    reliability
from slopes
inner join ranked_chassis on ranked_chassis.chassis = slopes.chassis
where chassis_rank <= 40
order by
    chassis_rank,
    list_position(['camber_deg', 'caster_deg', 'toe_deg', 'sai_deg'], response),
    list_position(['out', 'aft'], axis)
