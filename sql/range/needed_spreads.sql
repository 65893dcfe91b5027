-- title: What offset range a target needs
-- grain: one row per chassis, target and axis that the target sets (camber: out, caster: aft)
-- source: needed_offsets, needed_moments, sensitivities
-- missing: numbers are NULL with the reason in missing
-- computed by: src/stats/tables
-- The variance as read is brought to divisor n - (count behind one mean), and the mean noise of the readings is taken away. Left
-- and right of one car correlate by rho; n_mean and df count what is worth as many independent corners, less what is censored
-- (observed information, Louis 1982, J. R. Statist. Soc. B 44, 226-233) and less the errors common to all cars: of the slopes, and what
-- is not known of the biases, taken as one for all gauges. The tolerance factor is the exact one of ISO 16269-6 with that n and df (df by Satterthwaite where noise is taken away).
-- column chassis VARCHAR: platform code
-- column target VARCHAR: target
-- column axis VARCHAR: out aft
-- column corner_count BIGINT: corners
-- column vehicle_count BIGINT: cars
-- column censored_count BIGINT: corners of which only a limit is known
-- column set_apart_count BIGINT: other corners, left out because they lie far from these
-- column mean_mm DOUBLE [mm]: mean of the needed offset
-- column std_error_mm DOUBLE [mm]: of the mean, slopes and biases included
-- column sd_read_mm DOUBLE [mm]: standard deviation as read
-- column sd_noise_mm DOUBLE [mm]: part of it that is noise of the readings
-- column sd_mm DOUBLE [mm]: standard deviation of the true needs
-- column sd_bias_mm DOUBLE [mm]: error common to all corners from what is not known of the biases of who read
-- column sd_slopes_mm DOUBLE [mm]: error common to all corners from the slopes of the chassis
-- column rho DOUBLE: correlation of left and right of one car, as read
-- column n_mean DOUBLE: independent corners that the mean is worth
-- column df DOUBLE: degrees of freedom of sd_mm
-- column tolerance_factor DOUBLE: k of the two-sided normal tolerance interval mean +- k sd, 95 % of cars, 95 % confidence
-- column low_mm DOUBLE [mm]: its lower limit
-- column high_mm DOUBLE [mm]: its upper limit
-- column free_low_mm DOUBLE [mm]: lower limit of the distribution-free interval, order statistics of the values as read
-- column free_high_mm DOUBLE [mm]: its upper limit; an interval end among censored corners is NULL
-- column free_count_needed INTEGER: cars from which that interval can be given at all
-- column missing VARCHAR: why a number is NULL
with
-- A mistake of writing says nothing about cars. depth: how deep in the tail a censored corner lies.
corners as (
    select
        needed_offsets.*,
        needed_moments.* exclude (chassis, target),
        case when limit_mm is not null then
            beyond_out * beyond_out * var_oo_mm2 + 2 * beyond_out * beyond_aft * var_oa_mm2
                + beyond_aft * beyond_aft * var_aa_mm2
        end as along_mm2,
        (limit_mm - mean_out_mm * beyond_out - mean_aft_mm * beyond_aft) / sqrt(along_mm2) as depth
    from needed_offsets
    inner join needed_moments using (chassis, target)
    where not set_apart
),
-- One row per corner and axis. lost: how much of an axis' variance lies along the slot of a censored corner.
axes as (
    select
        * replace (case when need_mm is not null then depth end as depth),
        least(beyond * beyond * along_mm2 / var_ml, 1) as lost,
        limit_mm is not null and need_mm is not null as is_censored
    from (
        select
            chassis, target, vehicle, corner, corner_count, set_apart_count, censored_count, limit_mm, along_mm2, depth,
            move_out_mm, move_aft_mm,
            unnest([
                {
                    'axis': 'out', 'need_mm': need_out_mm, 'move_mm': move_out_mm, 'noise': noise_oo_mm2,
                    'bias_sd_mm': bias_out_sd_mm, 'beyond': beyond_out, 'mean_mm': mean_out_mm, 'var_ml': var_oo_mm2
                },
                {
                    'axis': 'aft', 'need_mm': need_aft_mm, 'move_mm': move_aft_mm, 'noise': noise_aa_mm2,
                    'bias_sd_mm': bias_aft_sd_mm, 'beyond': beyond_aft, 'mean_mm': mean_aft_mm, 'var_ml': var_aa_mm2
                }
            ], recursive := true)
        from corners
    )
),
summed as (
    select
        chassis, target, axis, corner_count, set_apart_count, censored_count, mean_mm, var_ml,
        exact_mean(move_out_mm) as move_out_mm,
        exact_mean(move_aft_mm) as move_aft_mm,
        count(need_mm) as axis_count,
        exact_mean(case when need_mm is not null then noise end) as noise_mm2,
        power(exact_mean(case when need_mm is not null then bias_sd_mm end), 2) as bias_mm2,
        -- How much of the spread goes through the slopes: none where every bearing stands where it is needed.
        centred_moment(
            count(need_mm), moment(move_mm, need_mm), sum(micro(move_mm)) filter (where need_mm is not null),
            sum(micro(need_mm))
        ) / nullif(
            centred_moment(count(need_mm), moment(need_mm, need_mm), sum(micro(need_mm)), sum(micro(need_mm))), 0
        ) as through_slopes,
        -- Values in order; a censored one lies beyond all others on its open side.
        list_sort(list(
            case when limit_mm is not null and abs(beyond) > 0.1 then beyond * cast('infinity' as double)
                else need_mm end
        ) filter (where need_mm is not null)) as needs,
        -- What a censored corner still tells of mean and variance, as a share of one that is not censored.
        count(*) filter (where is_censored) as axis_censored_count,
        sum(cast(1 - coalesce(lost * tail_var(depth), 0) as decimal(38, 20))) filter (where is_censored) as mean_share,
        sum(cast(1 - coalesce(lost * lost * tail_square_var(depth) / 2, 0) as decimal(38, 20)))
            filter (where is_censored) as var_share,
        sum(cast(
            coalesce(power(lost, 1.5) * tail_mean(depth) * (1 + depth * depth - depth * tail_mean(depth)), 0)
            as decimal(38, 20)
        )) filter (where is_censored) as cross_share
    from axes
    group by chassis, target, axis, corner_count, set_apart_count, censored_count, mean_mm, var_ml
    having axis_count > 0
),
-- Left and right of one car, about the mean. Pairs as they were read, censored ones included: only their correlation counts.
cars as (
    select
        chassis,
        target,
        axis,
        vehicle,
        max(need_mm - mean_mm) filter (where corner = 'FL') as left_mm,
        max(need_mm - mean_mm) filter (where corner = 'FR') as right_mm
    from axes
    where need_mm is not null
    group by chassis, target, axis, vehicle
),
paired as (
    select
        chassis,
        target,
        axis,
        count(*) as vehicle_count,
        count(left_mm + right_mm) as pair_count,
        exact_sum(left_mm * right_mm) as product,
        exact_sum((power(left_mm, 2) + power(right_mm, 2)) / 2) as square
    from cars
    group by chassis, target, axis
),
slopes_of as (
    select
        chassis,
        any_value(sensitivities) filter (where response = 'camber_deg') as camber,
        any_value(sensitivities) filter (where response = 'caster_deg') as caster
    from sensitivities
    where chassis is not null
    group by chassis
),
joined as (
    select
        *,
        greatest(least(coalesce(product / nullif(square, 0), 0), 1), 0) as rho,
        cast(coalesce(mean_share, 0) + (axis_count - axis_censored_count) as double) as mean_count,
        cast(coalesce(var_share, 0) + (axis_count - axis_censored_count) as double) as var_count,
        cast(coalesce(cross_share, 0) as double) as cross_count,
        -- Error of the mean through the slopes: B^-1 dB (mean move).
        (
            power(case axis when 'out' then caster.slope_aft else caster.slope_out end, 2)
                * slope_change_var(camber, move_out_mm, move_aft_mm)
            + power(case axis when 'out' then camber.slope_aft else camber.slope_out end, 2)
                * slope_change_var(caster, move_out_mm, move_aft_mm)
        ) / power(camber.slope_out * caster.slope_aft - camber.slope_aft * caster.slope_out, 2) as slope_error_mm2,
        case axis
            when 'out' then camber.var_out / power(camber.slope_out, 2)
            else caster.var_aft / power(caster.slope_aft, 2)
        end as slope_share_var
    from summed
    inner join paired using (chassis, target, axis)
    inner join slopes_of using (chassis)
)
select
    chassis, target, axis, corner_count, vehicle_count, censored_count, set_apart_count, mean_mm, var_ml, noise_mm2,
    bias_mm2, slope_error_mm2, slope_share_var, through_slopes, rho, pair_count, mean_count, var_count, cross_count,
    needs
from joined
