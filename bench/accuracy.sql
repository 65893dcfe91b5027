-- How far slopes lie from the true ones of the field ($truth: chassis, response, axis, true_deg_per_mm): root mean square of the
-- differences, as a share of the true slope, for camber outboard and caster rearward. Ours, and least squares over the same moves.
with
truth as (
    select * from read_csv('$truth')
),
sums as (
    select
        chassis,
        response,
        fsum(weight * move_out_mm * move_out_mm) as xx_oo,
        fsum(weight * move_out_mm * move_aft_mm) as xx_oa,
        fsum(weight * move_aft_mm * move_aft_mm) as xx_aa,
        fsum(weight * move_out_mm * change_deg) as xy_o,
        fsum(weight * move_aft_mm * change_deg) as xy_a
    from asked.moves
    group by chassis, response
),
found as (
    select
        'ours' as name,
        chassis,
        response,
        axis,
        estimate_deg_per_mm as slope
    from asked.slopes
    union all
    select 'least squares' as name, chassis, response, 'out' as axis,
        (xx_aa * xy_o - xx_oa * xy_a) / (xx_oo * xx_aa - xx_oa * xx_oa) as slope
    from sums
    union all
    select 'least squares' as name, chassis, response, 'aft' as axis,
        (xx_oo * xy_a - xx_oa * xy_o) / (xx_oo * xx_aa - xx_oa * xx_oa) as slope
    from sums
)
select
    name,
    cast(count(*) as integer) as slope_count,
    sqrt(avg(power(slope / true_deg_per_mm - 1, 2))) as rms
from found
inner join truth using (chassis, response, axis)
group by name
order by name
