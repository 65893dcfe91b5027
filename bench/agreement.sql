-- How far the slopes of another program ($file) lie from those of the database `asked`. Plain least squares over the moves is the
-- same estimator: worst distance of the two slopes, as a share of their length. The robust ones differ in their scale: median.
with
sums as (
    select
        chassis,
        replace(response, '_deg', '') as response,
        fsum(weight * move_out_mm * move_out_mm) as xx_oo,
        fsum(weight * move_out_mm * move_aft_mm) as xx_oa,
        fsum(weight * move_aft_mm * move_aft_mm) as xx_aa,
        fsum(weight * move_out_mm * change_deg) as xy_o,
        fsum(weight * move_aft_mm * change_deg) as xy_a
    from asked.moves
    where response in ('camber_deg', 'caster_deg')
    group by chassis, response
),
plain as (
    select
        chassis,
        response,
        (xx_aa * xy_o - xx_oa * xy_a) / (xx_oo * xx_aa - xx_oa * xx_oa) as slope_out,
        (xx_oo * xy_a - xx_oa * xy_o) / (xx_oo * xx_aa - xx_oa * xx_oa) as slope_aft
    from sums
),
robust as (
    select
        chassis,
        replace(response, '_deg', '') as response,
        max(estimate_deg_per_mm) filter (where axis = 'out') as slope_out,
        max(estimate_deg_per_mm) filter (where axis = 'aft') as slope_aft
    from asked.slopes
    where response in ('camber_deg', 'caster_deg')
    group by chassis, response
)
select
    cast(count(theirs.plain_out) as integer) as fit_count,
    cast(count(*) - count(theirs.plain_out) as integer) as missing_count,
    max(
        sqrt(pow(theirs.plain_out - plain.slope_out, 2) + pow(theirs.plain_aft - plain.slope_aft, 2))
        / sqrt(pow(plain.slope_out, 2) + pow(plain.slope_aft, 2))
    ) as plain_worst,
    median(
        sqrt(pow(theirs.robust_out - robust.slope_out, 2) + pow(theirs.robust_aft - robust.slope_aft, 2))
        / sqrt(pow(robust.slope_out, 2) + pow(robust.slope_aft, 2))
    ) as robust_median
from plain
inner join robust using (chassis, response)
left join read_csv('$file') as theirs using (chassis, response)
