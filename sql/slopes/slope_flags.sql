-- title: Slopes that the geometry does not allow
-- grain: one row per chassis, response and axis whose slope tells an effective length (camber and SAI over out, caster over aft)
-- source: slope_estimates, angle_priors, kits
-- missing: effective_length_mm is NULL where the slope is; flag is NULL where nothing is wrong
-- Flagged: an effective length outside 400..900 mm whose 95 % interval stays outside too (common practice, no source). Where one vehicle
-- carries most of what is known of the axis, the model variance stands in, at 4 degrees of freedom.
-- column chassis VARCHAR: platform code
-- column response VARCHAR: camber_deg caster_deg sai_deg
-- column axis VARCHAR: out aft
-- column effective_length_mm DOUBLE [mm]: 57.3 / |slope|
-- column std_error_deg_per_mm DOUBLE [deg/mm]: standard error that it is judged with
-- column flag VARCHAR: what is implausible and the likely mistake
with
judged as (
    select
        estimates.chassis,
        estimates.response,
        case when estimates.response = 'caster_deg' then 'aft' else 'out' end as axis,
        case when estimates.response = 'caster_deg' then slope_aft else slope_out end as slope,
        coalesce(case axis when 'aft' then df_aft else df_out end, 4) as df,
        sqrt(case axis
            when 'aft' then coalesce(var_aft, noise_var_deg2 * slope_model_var(rank, 'aft', xx_aa, xx_oo, xx_oa))
            else coalesce(var_out, noise_var_deg2 * slope_model_var(rank, 'out', xx_oo, xx_aa, xx_oa))
        end) as std_error
    from slope_estimates as estimates
    where estimates.response in ('camber_deg', 'caster_deg', 'sai_deg')
),
pitches as (
    select coalesce(chassis, '') as chassis, list_sort(list_distinct(list(mark_pitch_mm))) as pitches
    from kits
    group by coalesce(chassis, '')
),
compared as (
    select
        judged.*,
        slope / case axis when 'aft' then mean_aft else mean_out end as ratio,
        abs(slope) - t_quantile(0.975, df) * std_error as smallest,
        abs(slope) + t_quantile(0.975, df) * std_error as largest,
        list_concat(coalesce(own.pitches, []), coalesce(common.pitches, [])) as pitches
    from judged
    inner join angle_priors using (response)
    left join pitches as own on own.chassis = judged.chassis
    left join pitches as common on common.chassis = ''
)
select
    chassis,
    response,
    axis,
    degrees(1) / nullif(abs(slope), 0) as effective_length_mm,
    std_error as std_error_deg_per_mm,
    case
        when slope is null then null
        when ratio < 0 and smallest > 0.02
        then 'the sign is reversed: offsets with outboard and inboard (or rearward and forward) swapped, left and right swapped, or angles with their sign lost'
        when ratio < 0 then null
        when smallest <= degrees(1) / 400 and largest >= degrees(1) / 900 then null
        when ratio between 25.4 * 0.75 and 25.4 * 1.3
            then 'about 25.4 times too steep: offsets probably written in inches'
        when ratio between 0.75 / 25.4 and 1.3 / 25.4
            then 'about 25.4 times too flat: a length in inches was probably converted twice'
        when len(
            list_filter(pitches, lambda pitch: abs(pitch - 1) > 0.3 and ratio between pitch * 0.8 and pitch * 1.25)
        ) > 0
        then 'as steep as one mark of the kit is long: marks probably written as millimetres'
        when len(
            list_filter(pitches, lambda pitch: abs(pitch - 1) > 0.3 and ratio between 0.8 / pitch and 1.25 / pitch)
        ) > 0
        then 'as flat as millimetres read as marks: millimetres probably written in a mark column'
        when ratio > 1 then 'steeper than any strut of 400 mm allows: check units, marks and columns of the offsets'
        else 'flatter than a strut of 900 mm allows: check units, marks and columns of the offsets'
    end as flag
from compared
