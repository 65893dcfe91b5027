-- title: What offset range a target needs
-- grain: one row per chassis, target and axis that the target sets (camber: out, caster: aft)
-- source: needed_offsets, needed_moments, sensitivities
-- missing: numbers are NULL with the reason in missing
-- The variance as read is brought to divisor n - (count behind one mean), and the mean noise of the readings is taken away. Left
-- and right of one car correlate by rho; n_mean and df count what is worth as many independent corners, less what is censored
-- (observed information, Louis 1982, J. R. Statist. Soc. B 44, 226-233) and less the errors common to all cars: of the slopes, and what
-- is not known of the biases, taken as one for all gauges. The
-- tolerance factor is the exact one of ISO 16269-6 with that n and df (df by Satterthwaite where noise is taken away).
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
-- A mistake of writing says nothing about cars.
corners as not materialized (
    select
        needed_offsets.*,
        needed_moments.* exclude (chassis, target, corner_count, censored_count)
    from needed_offsets
    inner join needed_moments using (chassis, target)
    where not set_apart
),
moments as (
    select chassis, target, corner_count, censored_count, 'out' as axis, mean_out_mm as mean_mm, var_oo_mm2 as var_ml
    from needed_moments
    union all
    select chassis, target, corner_count, censored_count, 'aft' as axis, mean_aft_mm as mean_mm, var_aa_mm2 as var_ml
    from needed_moments
),
summed_wide as (
    select
        chassis,
        target,
        exact_mean(move_out_mm) as move_out_mm, exact_mean(move_aft_mm) as move_aft_mm,
        count(need_out_mm) as out_count, count(need_aft_mm) as aft_count,
        exact_mean(case when need_out_mm is not null then noise_oo_mm2 end) as out_noise_mm2,
        exact_mean(case when need_aft_mm is not null then noise_aa_mm2 end) as aft_noise_mm2,
        power(exact_mean(case when need_out_mm is not null then bias_out_sd_mm end), 2) as out_bias_mm2,
        power(exact_mean(case when need_aft_mm is not null then bias_aft_sd_mm end), 2) as aft_bias_mm2,
        -- How much of the spread goes through the slopes: none where every bearing stands where it is needed.
        centred_moment(
            count(need_out_mm), moment(move_out_mm, need_out_mm),
            sum(micro(move_out_mm)) filter (where need_out_mm is not null), sum(micro(need_out_mm))
        ) / nullif(
            centred_moment(
                count(need_out_mm), moment(need_out_mm, need_out_mm), sum(micro(need_out_mm)), sum(micro(need_out_mm))
            ), 0
        )
            as out_through_slopes,
        centred_moment(
            count(need_aft_mm), moment(move_aft_mm, need_aft_mm),
            sum(micro(move_aft_mm)) filter (where need_aft_mm is not null), sum(micro(need_aft_mm))
        ) / nullif(
            centred_moment(
                count(need_aft_mm), moment(need_aft_mm, need_aft_mm), sum(micro(need_aft_mm)), sum(micro(need_aft_mm))
            ), 0
        )
            as aft_through_slopes,
        -- Values in order; a censored one lies beyond all others on its open side.
        list_sort(list(
            case when limit_mm is not null and abs(beyond_out) > 0.1 then beyond_out * cast('infinity' as double)
                else need_out_mm end
        ) filter (where need_out_mm is not null)) as out_needs,
        list_sort(list(
            case when limit_mm is not null and abs(beyond_aft) > 0.1 then beyond_aft * cast('infinity' as double)
                else need_aft_mm end
        ) filter (where need_aft_mm is not null)) as aft_needs
    from corners
    group by chassis, target
),
-- Left and right of one car, about the mean. Pairs as they were read, censored ones included: only their correlation counts.
cars as (
    select
        chassis,
        target,
        vehicle,
        count(need_out_mm) > 0 as has_out,
        count(need_aft_mm) > 0 as has_aft,
        max(need_out_mm - mean_out_mm) filter (where corner = 'FL') as out_left,
        max(need_out_mm - mean_out_mm) filter (where corner = 'FR') as out_right,
        max(need_aft_mm - mean_aft_mm) filter (where corner = 'FL') as aft_left,
        max(need_aft_mm - mean_aft_mm) filter (where corner = 'FR') as aft_right
    from corners
    group by chassis, target, vehicle
),
paired as (
    select
        chassis,
        target,
        count(*) filter (where has_out) as out_vehicle_count,
        count(*) filter (where has_aft) as aft_vehicle_count,
        count(out_left + out_right) as out_pair_count,
        count(aft_left + aft_right) as aft_pair_count,
        exact_sum(out_left * out_right) as out_product,
        exact_sum(aft_left * aft_right) as aft_product,
        exact_sum((power(out_left, 2) + power(out_right, 2)) / 2) as out_square,
        exact_sum((power(aft_left, 2) + power(aft_right, 2)) / 2) as aft_square
    from cars
    group by chassis, target
),
apart as (
    select chassis, target, count(*) filter (where set_apart) as set_apart_count
    from needed_offsets
    group by chassis, target
),
-- How deep in the tail a censored corner lies, and how much of an axis' variance lies along its slot.
censored_corners as (
    select
        chassis,
        target,
        (limit_mm - mean_out_mm * beyond_out - mean_aft_mm * beyond_aft) / sqrt(along_mm2) as depth,
        least(beyond_out * beyond_out * along_mm2 / var_oo_mm2, 1) as out_lost,
        least(beyond_aft * beyond_aft * along_mm2 / var_aa_mm2, 1) as aft_lost,
        need_out_mm is not null as sets_out,
        need_aft_mm is not null as sets_aft,
        tail_mean(depth) as depth_mean,
        tail_var(depth) as depth_var,
        tail_square_var(depth) as depth_square_var
    from (
        select
            *,
            beyond_out * beyond_out * var_oo_mm2 + 2 * beyond_out * beyond_aft * var_oa_mm2
                + beyond_aft * beyond_aft * var_aa_mm2
                as along_mm2
        from corners
        where limit_mm is not null
    )
),
-- What a censored corner still tells of mean and variance, as a share of a whole one, like those that are not censored.
informed as (
    select
        chassis,
        target,
        axis,
        sum(cast(1 - coalesce(lost * depth_var, 0) as decimal(38, 20))) as mean_share,
        sum(cast(1 - coalesce(lost * lost * depth_square_var / 2, 0) as decimal(38, 20))) as var_share,
        sum(
            cast(
                coalesce(power(lost, 1.5) * depth_mean * (1 + depth * depth - depth * depth_mean), 0) as decimal(38, 20)
            )
        ) as cross_share,
        count(*) as axis_censored_count
    from (
        select *, 'out' as axis, out_lost as lost from censored_corners where sets_out
        union all
        select *, 'aft' as axis, aft_lost as lost from censored_corners where sets_aft
    )
    group by chassis, target, axis
),
-- One row per axis that the target sets.
summed as (
    select
        chassis,
        target,
        move_out_mm,
        move_aft_mm,
        unnest([
            {
                'axis': 'out', 'axis_count': out_count, 'vehicle_count': out_vehicle_count, 'noise_mm2': out_noise_mm2,
                'through_slopes': out_through_slopes, 'needs': out_needs, 'pair_count': out_pair_count,
                'product': out_product, 'square': out_square, 'bias_mm2': out_bias_mm2
            },
            {
                'axis': 'aft', 'axis_count': aft_count, 'vehicle_count': aft_vehicle_count, 'noise_mm2': aft_noise_mm2,
                'through_slopes': aft_through_slopes, 'needs': aft_needs, 'pair_count': aft_pair_count,
                'product': aft_product, 'square': aft_square, 'bias_mm2': aft_bias_mm2
            }
        ], recursive := true)
    from summed_wide
    inner join paired using (chassis, target)
),
slopes_of as (
    select
        chassis,
        any_value(
            {
                'slope_out': slope_out, 'slope_aft': slope_aft, 'var_out': var_out, 'var_aft': var_aft,
                'cov_out_aft': cov_out_aft
            }
        )
            filter (where response = 'camber_deg') as camber,
        any_value(
            {
                'slope_out': slope_out, 'slope_aft': slope_aft, 'var_out': var_out, 'var_aft': var_aft,
                'cov_out_aft': cov_out_aft
            }
        )
            filter (where response = 'caster_deg') as caster
    from sensitivities
    where chassis is not null
    group by chassis
),
joined as (
    select
        moments.*,
        summed.* exclude (chassis, target, axis, move_out_mm, move_aft_mm),
        greatest(least(coalesce(product / nullif(square, 0), 0), 1), 0) as rho,
        cast(coalesce(mean_share, 0) + (axis_count - coalesce(axis_censored_count, 0)) as double) as mean_count,
        cast(coalesce(var_share, 0) + (axis_count - coalesce(axis_censored_count, 0)) as double) as var_count,
        cast(coalesce(cross_share, 0) as double) as cross_count,
        -- Error of the mean through the slopes: B^-1 dB (mean move).
        case moments.axis
            when 'out' then
                power(caster.slope_aft, 2) * slope_change_var(camber, move_out_mm, move_aft_mm)
                + power(camber.slope_aft, 2) * slope_change_var(caster, move_out_mm, move_aft_mm)
            else
                power(caster.slope_out, 2) * slope_change_var(camber, move_out_mm, move_aft_mm)
                + power(camber.slope_out, 2) * slope_change_var(caster, move_out_mm, move_aft_mm)
        end / power(camber.slope_out * caster.slope_aft - camber.slope_aft * caster.slope_out, 2) as slope_error_mm2,
        case moments.axis
            when 'out' then camber.var_out / power(camber.slope_out, 2)
            else caster.var_aft / power(caster.slope_aft, 2)
        end as slope_share_var
    from moments
    inner join summed using (chassis, target, axis)
    inner join slopes_of using (chassis)
    left join informed using (chassis, target, axis)
    where axis_count > 0
),
-- corner_count + 2 pairs rho: what the corners of one car have in common counts once.
sized as (
    select
        *,
        corner_count / (corner_count + 2 * pair_count * rho) * (
            mean_count - cross_count * cross_count / nullif(2 * var_count, 0)
        ) as n_read,
        corner_count / (corner_count + 2 * pair_count * rho * rho) * (
            var_count - cross_count * cross_count / nullif(2 * mean_count, 0)
        ) - 1 as df_read
    from joined
),
freed as (
    select
        *,
        var_ml / (1 - 1 / nullif(n_read, 0)) as var_read
    from sized
    where vehicle_count > 1 and n_read > 1 and df_read > 0
),
cleared as (
    select
        *,
        case when noise_mm2 < 0.9 * var_read then var_read - noise_mm2 end as var_true
    from freed
),
weighed as (
    select
        *,
        var_read / n_read + slope_error_mm2 + bias_mm2 as mean_var,
        1 / (
            1 / (df_read * power(var_true / var_read, 2))
            + 2 * slope_share_var * power(coalesce(through_slopes, 0), 2)
        ) as df
    from cleared
),
factored as (
    select
        *,
        var_true / mean_var as n_mean,
        tolerance_factor(var_true / mean_var, df, 0.95, 0.95) as factor
    from weighed
),
-- Most order statistics that can be left out at both ends together: the share between follows beta(n + 1 - k, k).
left_out as (
    select
        vehicle_count,
        max(k) as k
    from (
        select vehicle_count, unnest(range(2, 3 + cast(0.05 * vehicle_count as bigint))) as k
        from (select distinct vehicle_count from summed)
    )
    where 1 - beta_cdf(0.95, vehicle_count + 1 - k, k) >= 0.95
    group by vehicle_count
),
free as (
    select
        chassis,
        target,
        axis,
        needs[cast(floor((k // 2) * (len(needs) + 1) / (vehicle_count + 1)) as bigint)] as low_mm,
        needs[len(needs) + 1 - cast(floor((k - k // 2) * (len(needs) + 1) / (vehicle_count + 1)) as bigint)] as high_mm
    from summed
    inner join left_out using (vehicle_count)
)
select
    joined.chassis,
    joined.target, joined.axis,
    joined.corner_count,
    joined.vehicle_count,
    joined.censored_count,
    set_apart_count,
    joined.mean_mm,
    sqrt(mean_var) as std_error_mm,
    sqrt(var_read) as sd_read_mm,
    sqrt(joined.noise_mm2) as sd_noise_mm,
    sqrt(var_true) as sd_mm,
    sqrt(joined.bias_mm2) as sd_bias_mm,
    sqrt(joined.slope_error_mm2) as sd_slopes_mm,
    joined.rho,
    n_mean,
    df,
    factor as tolerance_factor,
    joined.mean_mm - factor * sqrt(var_true) as low_mm,
    joined.mean_mm + factor * sqrt(var_true) as high_mm,
    case when isfinite(free.low_mm) then free.low_mm end as free_low_mm,
    case when isfinite(free.high_mm) then free.high_mm end as free_high_mm,
    93 as free_count_needed,
    case
        when joined.mean_mm is null then 'fewer than 2 corners are not at the end of their scale'
        when joined.vehicle_count < 2 then 'one car tells nothing of others'
        when mean_var is null then 'too many corners are at the end of their scale'
        when var_true is null then 'the spread is no larger than the noise of the readings'
    end as missing
from joined
inner join apart using (chassis, target)
left join factored using (chassis, target, axis)
left join free using (chassis, target, axis)
