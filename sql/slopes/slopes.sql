-- title: How many degrees one millimetre of bearing offset is worth
-- grain: one row per chassis of the readings, response and axis
-- source: slopes_shrunk, slope_estimates, slope_flags
-- missing: an estimate is NULL with the reason in reason
-- column chassis VARCHAR: platform code
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column axis VARCHAR: out aft
-- column estimate_deg_per_mm DOUBLE [deg/mm]: the chassis' own slope, robust joint fit over its moves
-- column std_error_deg_per_mm DOUBLE [deg/mm]: cluster-robust (CR2, one cluster per vehicle)
-- column conf_low_deg_per_mm DOUBLE [deg/mm]: 95 % t interval
-- column conf_high_deg_per_mm DOUBLE [deg/mm]: 95 % t interval
-- column df DOUBLE: Satterthwaite degrees of freedom
-- column move_count BIGINT: moves with a change along this axis
-- column vehicle_count BIGINT: vehicles that those moves come from
-- column shrunk_deg_per_mm DOUBLE [deg/mm]: empirical Bayes, drawn towards the other chassis and the geometric prior
-- column shrunk_std_error_deg_per_mm DOUBLE [deg/mm]: its standard error
-- column effective_length_mm DOUBLE [mm]: 57.3 / |slope|, for camber and SAI over out and caster over aft
-- column flag VARCHAR: why the slope is physically implausible, and the likely mistake
-- column reason VARCHAR: why a number is NULL
-- column downweighted_count BIGINT: moves of this fit with a robust weight under 1/2
-- column install_count BIGINT: of all moves of this fit, installs and changes of kit, which hold an unknown constant of the kits
-- column unequal_toe_count BIGINT: moves whose camber could not be brought to equal toe
-- column no_caster_count BIGINT: of those, changes read with toe, on a chassis without any caster
-- column reliability DOUBLE: share of the spread of the offsets that is not mark-reading error
-- column reliability_corrected BOOLEAN: true where the slope was corrected for that error
-- column mid_mm DOUBLE [mm]: mean offset along the axis at which the slope holds
with
by_axis as (
    select
        shrunk.chassis,
        shrunk.response,
        case when shrunk.response = 'toe_deg' then ' and the tie rods untouched' else '' end as unless_reset,
        unnest([
            {
                'axis': 'out',
                'estimate': estimates.slope_out,
                'std_error': sqrt(estimates.var_out),
                'df': estimates.df_out,
                'move_count': coalesce(move_out_count, 0),
                'vehicle_count': coalesce(vehicle_out_count, 0),
                'shrunk': shrunk.slope_out,
                'shrunk_std_error': sqrt(shrunk.var_out),
                'reliability': reliability_out,
                'mid_mm': mid_out_mm
            },
            {
                'axis': 'aft',
                'estimate': estimates.slope_aft,
                'std_error': sqrt(estimates.var_aft),
                'df': estimates.df_aft,
                'move_count': coalesce(move_aft_count, 0),
                'vehicle_count': coalesce(vehicle_aft_count, 0),
                'shrunk': shrunk.slope_aft,
                'shrunk_std_error': sqrt(shrunk.var_aft),
                'reliability': reliability_aft,
                'mid_mm': mid_aft_mm
            }
        ], recursive := true),
        rank,
        corrected,
        downweighted_count,
        install_count,
        unequal_toe_count,
        no_caster_count
    from slopes_shrunk as shrunk
    left join slope_estimates as estimates using (chassis, response)
)
select
    by_axis.chassis,
    by_axis.response,
    by_axis.axis,
    estimate as estimate_deg_per_mm,
    std_error as std_error_deg_per_mm,
    estimate - t_quantile(0.975, df) * std_error as conf_low_deg_per_mm,
    estimate + t_quantile(0.975, df) * std_error as conf_high_deg_per_mm,
    df,
    move_count,
    vehicle_count,
    shrunk as shrunk_deg_per_mm,
    shrunk_std_error as shrunk_std_error_deg_per_mm,
    effective_length_mm,
    flag,
    case
        when move_count = 0 and rank is null
            then 'no usable move: no visit of this chassis holds two readings of this angle at two known offsets with one kit in place'
                || unless_reset || ', and installs tell from four of a kit on'
        when move_count = 0 and max(move_count) over (partition by by_axis.chassis, axis) > 0
            then 'no usable move: no visit of this chassis holds two readings of this angle around a move along this axis with one kit in place'
                || unless_reset
        when move_count = 0 then 'the bearing never moved along this axis with one kit in place'
        when rank = 'line'
            then 'all moves lie along one slanting line, so the two axes cannot be told apart; the shrunken value uses what the line tells'
        when move_count <= install_count and estimate is null
            then 'every move along this axis is an install at one and the same offset, which the unknown constant of the kit explains as well'
        when rank = 'none' then 'every move is far from any common slope'
        when estimate is null then 'every move along this axis is far from any common slope'
        when std_error is null then 'one vehicle carries most of what tells of this axis: no standard error between vehicles'
    end as reason,
    coalesce(downweighted_count, 0) as downweighted_count,
    coalesce(install_count, 0) as install_count,
    coalesce(unequal_toe_count, 0) as unequal_toe_count,
    coalesce(no_caster_count, 0) as no_caster_count,
    reliability,
    coalesce(corrected, false) as reliability_corrected,
    mid_mm
from by_axis
left join slope_flags using (chassis, response, axis)
