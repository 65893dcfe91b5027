-- title: What the other chassis lead to expect of one
-- grain: one row per response and axis
-- source: slope_populations
-- missing: none
-- The numbers of slope_populations on grids, so that a sliver of new readings leaves the slopes of the chassis that it does not touch
-- as they were: variances at most 2.2 % off, the mean at most an eighth of its standard error. The geometric prior alone stays as it is.
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column axis VARCHAR: out aft
-- column dispersion DOUBLE: mean ratio of CR2 variance to model variance, at least 1
-- column mean_deg_per_mm DOUBLE [deg/mm]: mean that the shrinkage uses
-- column mean_var DOUBLE [deg2/mm2]: its variance
-- column between_var DOUBLE [deg2/mm2]: between-chassis variance that the shrinkage uses
-- column from_chassis BOOLEAN: chassis stand behind it; false = the geometric prior alone
with
gridded as (
    select
        *,
        octave_grid(mean_var, 16) as gridded_var,
        power(2, floor(log2(sqrt(gridded_var)) - 2)) as step
    from slope_populations
    where chassis_count > 0
)
select
    response,
    axis,
    octave_grid(dispersion, 16) as dispersion,
    round(mean_deg_per_mm / step) * step as mean_deg_per_mm,
    gridded_var as mean_var,
    octave_grid(between_var, 16) as between_var,
    true as from_chassis
from gridded
union all
select response, axis, dispersion, mean_deg_per_mm, mean_var, between_var, false as from_chassis
from slope_populations
where chassis_count = 0
