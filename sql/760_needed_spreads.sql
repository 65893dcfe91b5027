-- title: What offset range a target needs
-- grain: one row per chassis, target and axis that the target sets (camber: out, caster: aft)
-- source: needed_offsets, needed_moments, sensitivities
-- missing: numbers are NULL with the reason in missing
-- The variance as read is brought to divisor n - (count behind one mean), and the mean noise of the readings is taken away. Left
-- and right of one car correlate by rho; n_mean and df count what is worth as many independent corners, less what is censored
-- (observed information, Louis 1982, J. R. Statist. Soc. B 44, 226-233) and less the error of the slopes, common to all cars. The
-- tolerance factor is the exact one of ISO 16269-6 with that n and df (df by Satterthwaite where noise is taken away).
-- column chassis VARCHAR: platform code
-- column target VARCHAR: target
-- column axis VARCHAR: out aft
-- column corner_count BIGINT: corners
-- column vehicle_count BIGINT: cars
-- column censored_count BIGINT: corners of which only a limit is known
-- column set_apart_count BIGINT: other corners, left out because they lie far from these
-- column mean_mm DOUBLE [mm]: mean of the needed offset
-- column std_error_mm DOUBLE [mm]: of the mean, slopes included
-- column sd_read_mm DOUBLE [mm]: standard deviation as read
-- column sd_noise_mm DOUBLE [mm]: part of it that is noise of the readings
-- column sd_mm DOUBLE [mm]: standard deviation of the true needs
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
axes as (
    select
        chassis,
        target,
        vehicle,
        corner,
        limit_mm is not null as censored,
        unnest([
            {
                'axis': 'out', 'need_mm': need_out_mm, 'noise_mm2': noise_oo_mm2, 'move_mm': move_out_mm,
                'open_end': case when limit_mm is not null and abs(beyond_out) > 0.1 then sign(beyond_out) else 0 end
            },
            {
                'axis': 'aft', 'need_mm': need_aft_mm, 'noise_mm2': noise_aa_mm2, 'move_mm': move_aft_mm,
                'open_end': case when limit_mm is not null and abs(beyond_aft) > 0.1 then sign(beyond_aft) else 0 end
            }
        ], recursive := true)
    from needed_offsets
    -- A mistake of writing says nothing about cars.
    where not set_apart
),
corners as (
    select * from axes where need_mm is not null
),
moments as (
    select chassis, target, corner_count, censored_count, 'out' as axis, mean_out_mm as mean_mm, var_oo_mm2 as var_ml
    from needed_moments
    union all
    select chassis, target, corner_count, censored_count, 'aft' as axis, mean_aft_mm as mean_mm, var_aa_mm2 as var_ml
    from needed_moments
),
summed as (
    select
        corners.chassis,
        corners.target,
        corners.axis,
        count(distinct vehicle) as vehicle_count,
        exact_mean(noise_mm2) as noise_mm2,
        -- How much of the spread goes through the slopes: none where every bearing stands where it is needed.
        centred_moment(count(*), moment(move_mm, need_mm), sum(micro(move_mm)), sum(micro(need_mm)))
            / nullif(centred_moment(count(*), moment(need_mm, need_mm), sum(micro(need_mm)), sum(micro(need_mm))), 0) as through_slopes
    from corners
    group by corners.chassis, corners.target, corners.axis
),
mean_moves as (
    select chassis, target, exact_mean(move_out_mm) as move_out_mm, exact_mean(move_aft_mm) as move_aft_mm
    from needed_offsets
    where not set_apart
    group by chassis, target
),
apart as (
    select chassis, target, count(*) filter (where set_apart) as set_apart_count
    from needed_offsets
    group by chassis, target
),
-- Pairs as they were read, censored ones included: only their correlation counts.
pairs as (
    select
        lefts.chassis,
        lefts.target,
        lefts.axis,
        count(*) as pair_count,
        exact_sum((lefts.need_mm - mean_mm) * (rights.need_mm - mean_mm)) as product,
        exact_sum((power(lefts.need_mm - mean_mm, 2) + power(rights.need_mm - mean_mm, 2)) / 2) as square
    from corners as lefts
    inner join corners as rights
        on rights.chassis = lefts.chassis
        and rights.target = lefts.target
        and rights.vehicle = lefts.vehicle
        and rights.axis = lefts.axis
    inner join moments
        on moments.chassis = lefts.chassis and moments.target = lefts.target and moments.axis = lefts.axis
    where lefts.corner = 'FL' and rights.corner = 'FR'
    group by lefts.chassis, lefts.target, lefts.axis
),
-- How deep in the tail a censored corner lies, and how much of an axis' variance lies along its slot.
censored_corners as (
    select
        corners.chassis,
        corners.target,
        corners.axis,
        (limit_mm - mean_out_mm * beyond_out - mean_aft_mm * beyond_aft) / sqrt(along_mm2) as depth,
        least(
            case corners.axis
                when 'out' then beyond_out * beyond_out * along_mm2 / var_oo_mm2
                else beyond_aft * beyond_aft * along_mm2 / var_aa_mm2
            end,
            1
        ) as lost
    from corners
    inner join needed_offsets using (chassis, target, vehicle, corner)
    inner join needed_moments using (chassis, target)
    cross join lateral (
        select
            beyond_out * beyond_out * var_oo_mm2 + 2 * beyond_out * beyond_aft * var_oa_mm2 + beyond_aft * beyond_aft * var_aa_mm2
                as along_mm2
    )
),
-- What a censored corner still tells of mean and variance, as a share of a whole one.
informed as (
    select
        chassis,
        target,
        axis,
        exact_sum(1 - coalesce(lost * tail_var(depth), 0)) as mean_count,
        exact_sum(1 - coalesce(lost * lost * tail_square_var(depth) / 2, 0)) as var_count,
        exact_sum(coalesce(power(lost, 1.5) * tail_mean(depth) * (1 + depth * depth - depth * tail_mean(depth)), 0)) as cross_count
    from censored_corners
    group by chassis, target, axis
),
slopes_of as (
    select
        chassis,
        any_value({'slope_out': slope_out, 'slope_aft': slope_aft, 'var_out': var_out, 'var_aft': var_aft, 'cov_out_aft': cov_out_aft})
            filter (where response = 'camber_deg') as camber,
        any_value({'slope_out': slope_out, 'slope_aft': slope_aft, 'var_out': var_out, 'var_aft': var_aft, 'cov_out_aft': cov_out_aft})
            filter (where response = 'caster_deg') as caster
    from sensitivities
    where chassis is not null
    group by chassis
),
joined as (
    select
        moments.*,
        summed.* exclude (chassis, target, axis),
        coalesce(pair_count, 0) as pair_count,
        greatest(least(coalesce(product / nullif(square, 0), 0), 1), 0) as rho,
        mean_count,
        var_count,
        cross_count,
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
    inner join informed using (chassis, target, axis)
    inner join mean_moves using (chassis, target)
    inner join slopes_of using (chassis)
    left join pairs using (chassis, target, axis)
),
-- corner_count + 2 pairs rho: what the corners of one car have in common counts once.
sized as (
    select
        *,
        corner_count / (corner_count + 2 * pair_count * rho) * (mean_count - cross_count * cross_count / nullif(2 * var_count, 0)) as n_read,
        corner_count / (corner_count + 2 * pair_count * rho * rho) * (var_count - cross_count * cross_count / nullif(2 * mean_count, 0)) - 1 as df_read
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
        var_read / n_read + slope_error_mm2 as mean_var,
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
-- Values in order; a censored one lies beyond all others on its open side.
sorted as (
    select
        chassis,
        target,
        axis,
        list_sort(list(case open_end when 1 then cast('infinity' as double) when -1 then cast('-infinity' as double) else need_mm end)) as needs
    from corners
    group by chassis, target, axis
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
        sorted.chassis,
        sorted.target,
        sorted.axis,
        needs[cast(floor((k // 2) * (len(needs) + 1) / (vehicle_count + 1)) as bigint)] as low_mm,
        needs[len(needs) + 1 - cast(floor((k - k // 2) * (len(needs) + 1) / (vehicle_count + 1)) as bigint)] as high_mm
    from sorted
    inner join summed using (chassis, target, axis)
    inner join left_out using (vehicle_count)
)
select
    joined.chassis,
    joined.target,
    joined.axis,
    joined.corner_count,
    joined.vehicle_count,
    joined.censored_count,
    set_apart_count,
    joined.mean_mm,
    sqrt(mean_var) as std_error_mm,
    sqrt(var_read) as sd_read_mm,
    sqrt(joined.noise_mm2) as sd_noise_mm,
    sqrt(var_true) as sd_mm,
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
