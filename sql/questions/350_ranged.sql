-- Needed offset range and the share that each kit reaches: per chassis, target, kit, bolt position and hand, and one row (index
-- and hand NULL) over the best of them, both corners of a car taking plates of one pair. A chassis and target that no kit can be
-- judged for has one row without a kit. asked_*: NULL = all.
-- The interval is Wilson's with the number of independent corners: corners / (1 + 2 pairs rho / corners), rho the correlation of
-- being reached between left and right, and less what the error of the slopes adds to the variance of the share. used_count: corners that sit there now; *_end_count: of those, pointer in the last tenth.
create or replace temp macro ranged(asked_chassis, asked_kit, asked_target) as table
with
shifts as (
    select list_transform(
        [[0, 0], [-1, 0], [1, 0], [0, -1], [0, 1]],
        lambda shift: {
            'name': 'need', 'value': cast(10 * shift[1] + shift[2] as double), 'need_out': cast(shift[1] as double),
            'need_aft': cast(shift[2] as double), 'centre_out_mm': cast(0 as double), 'centre_aft_mm': cast(0 as double),
            'turn_deg': cast(0 as double)
        }
    ) as variants
),
reached as (
    select variant_value as shift, *
    from reaches(asked_chassis, asked_kit, asked_target, (select variants from shifts))
),
every_way as (
    select shift, chassis, target, kit, plate_index, own, vehicle, half_length_mm, required_mm
    from reached
    union all by name
    select variant_value as shift, chassis, target, kit, vehicle, half_length_mm, required_mm
    from best_reaches(asked_chassis, asked_kit, asked_target, (select variants from shifts))
),
cars as (
    select
        shift,
        chassis,
        target,
        kit,
        plate_index,
        own,
        vehicle,
        half_length_mm,
        count(*) as corner_count,
        count(*) filter (where required_mm <= half_length_mm + 1e-9) as reached_count
    from every_way
    group by shift, chassis, target, kit, plate_index, own, vehicle, half_length_mm
),
shares as (
    select
        shift,
        chassis,
        target,
        kit,
        plate_index,
        own,
        half_length_mm,
        sum(corner_count) as corner_count,
        sum(reached_count) / sum(corner_count) as share,
        count(*) filter (where corner_count = 2) as pair_count,
        count(*) filter (where corner_count = 2 and reached_count = 2) as both_count,
        count(*) filter (where corner_count = 2 and reached_count = 1) as one_count
    from cars
    group by shift, chassis, target, kit, plate_index, own, half_length_mm
),
slope_vars as (
    select
        chassis,
        target,
        kit,
        plate_index,
        own,
        power(sum(case when abs(shift) = 10 then sign(shift) * share end) / 2, 2)
            + power(sum(case when abs(shift) = 1 then sign(shift) * share end) / 2, 2) as slope_var
    from shares
    group by chassis, target, kit, plate_index, own
),
correlated as (
    select
        shares.*,
        slope_var,
        greatest(least(coalesce(
            (
                both_count * (1 - share) * (1 - share) - one_count * share * (1 - share)
                + (pair_count - both_count - one_count) * share * share
            ) / nullif(pair_count * share * (1 - share), 0),
            1
        ), 1), 0) as rho
    from shares
    inner join slope_vars
        on slope_vars.chassis = shares.chassis
        and slope_vars.target = shares.target
        and slope_vars.kit = shares.kit
        and slope_vars.plate_index is not distinct from shares.plate_index
        and slope_vars.own is not distinct from shares.own
    where shift = 0
),
effective as (
    select
        *,
        1 / (
            (1 + 2 * pair_count * rho / corner_count) / corner_count
            + case when share * (1 - share) > 0 then slope_var / (share * (1 - share)) else 0 end
        ) as effective_count
    from correlated
),
lengths as (
    select chassis, target, kit, plate_index, own, list_sort(list(required_mm)) as lengths
    from every_way
    where shift = 0
    group by chassis, target, kit, plate_index, own
),
-- The least length that reaches a share s of the corners; its interval has the shares that s cannot be told from (score test).
sized as (
    select
        effective.*,
        list_transform(
            [0.90, 0.95, 0.99],
            lambda s: list_transform(
                [s, s - normal_quantile(0.975) * sqrt(s * (1 - s) / effective_count), s + normal_quantile(0.975) * sqrt(s * (1 - s) / effective_count)],
                lambda p: case when p <= 1 then lengths[greatest(cast(ceil(p * corner_count - 1e-9) as bigint), 1)] end
            )
        ) as least
    from effective
    inner join lengths
        on lengths.chassis = effective.chassis
        and lengths.target = effective.target
        and lengths.kit = effective.kit
        and lengths.plate_index is not distinct from effective.plate_index
        and lengths.own is not distinct from effective.own
),
fitted as (
    select
        present_corners.chassis,
        present_corners.kit,
        present_corners.plate_index,
        plate_hand = case corner when 'FL' then 'left' else 'right' end as own,
        (mark_1 - mark_min) / (mark_max - mark_min) as position
    from present_corners
    inner join plates
        on plates.kit = present_corners.kit
        and (plates.chassis = present_corners.chassis or plates.chassis is null)
    where mark_min < mark_max
    qualify row_number() over (partition by vehicle, corner order by plates.chassis nulls last) = 1
),
used as (
    select
        chassis,
        kit,
        plate_index,
        own,
        count(*) as used_count,
        count(*) filter (where position <= 0.1) as low_end_count,
        count(*) filter (where position >= 0.9) as high_end_count
    from fitted
    group by grouping sets ((chassis, kit), (chassis, kit, plate_index, own))
    having grouping(plate_index) = 1 or plate_index is not null
),
steps as (
    select distinct
        chassis,
        target,
        kit,
        plate_index,
        own,
        pitch_mm,
        abs(camber.slope_out * slot.out + camber.slope_aft * slot.aft) as camber_per_mm,
        abs(caster.slope_out * slot.out + caster.slope_aft * slot.aft) as caster_per_mm,
        camber.tol as camber_tol,
        caster.tol as caster_tol
    from reached
),
needs as (
    select
        chassis,
        target,
        max(corner_count) as corner_count,
        max(vehicle_count) as vehicle_count,
        max(censored_count) as censored_count,
        max(set_apart_count) as set_apart_count,
        any_value(needed_spreads) filter (where axis = 'out') as need_out,
        any_value(needed_spreads) filter (where axis = 'aft') as need_aft,
        max(missing) as missing
    from needed_spreads
    where (asked_chassis is null or chassis = asked_chassis) and (asked_target is null or target = asked_target)
    group by chassis, target
)
select
    needs.chassis,
    sized.kit,
    needs.target,
    sized.plate_index,
    case when sized.own then 'own' when not sized.own then 'other' end as plate_hand,
    needs.corner_count,
    needs.vehicle_count,
    needs.censored_count,
    needs.set_apart_count,
    share as share_reachable,
    wilson_low(share * effective_count, effective_count) as conf_low,
    wilson_high(share * effective_count, effective_count) as conf_high,
    effective_count,
    need_out.mean_mm as need_out_mean_mm,
    need_out.sd_mm as need_out_sd_mm,
    need_out.low_mm as need_out_low_mm,
    need_out.high_mm as need_out_high_mm,
    need_out.free_low_mm as need_out_free_low_mm,
    need_out.free_high_mm as need_out_free_high_mm,
    need_out.std_error_mm as need_out_std_error_mm,
    need_out.sd_noise_mm as need_out_sd_noise_mm,
    need_out.rho as need_out_rho,
    need_aft.mean_mm as need_aft_mean_mm,
    need_aft.sd_mm as need_aft_sd_mm,
    need_aft.low_mm as need_aft_low_mm,
    need_aft.high_mm as need_aft_high_mm,
    need_aft.free_low_mm as need_aft_free_low_mm,
    need_aft.free_high_mm as need_aft_free_high_mm,
    need_aft.std_error_mm as need_aft_std_error_mm,
    need_aft.sd_noise_mm as need_aft_sd_noise_mm,
    need_aft.rho as need_aft_rho,
    coalesce(need_out.free_count_needed, need_aft.free_count_needed) as free_count_needed,
    pitch_mm as mark_pitch_mm,
    pitch_mm * camber_per_mm as mark_step_deg,
    pitch_mm * caster_per_mm as mark_step_caster_deg,
    nullif(least(
        coalesce(camber_tol / case when camber_per_mm > 0.02 then camber_per_mm end, 1e9),
        coalesce(caster_tol / case when caster_per_mm > 0.02 then caster_per_mm end, 1e9)
    ), 1e9) as mark_pitch_useful_mm,
    half_length_mm,
    case when isfinite(least[1][1]) then least[1][1] end as half_length_90_mm,
    case when isfinite(least[1][2]) then least[1][2] end as half_length_90_low_mm,
    case when isfinite(least[1][3]) then least[1][3] end as half_length_90_high_mm,
    case when isfinite(least[2][1]) then least[2][1] end as half_length_95_mm,
    case when isfinite(least[2][2]) then least[2][2] end as half_length_95_low_mm,
    case when isfinite(least[2][3]) then least[2][3] end as half_length_95_high_mm,
    case when isfinite(least[3][1]) then least[3][1] end as half_length_99_mm,
    case when isfinite(least[3][2]) then least[3][2] end as half_length_99_low_mm,
    case when isfinite(least[3][3]) then least[3][3] end as half_length_99_high_mm,
    case when sized.kit is not null then coalesce(used_count, 0) end as used_count,
    case when sized.kit is not null then coalesce(low_end_count, 0) end as low_end_count,
    case when sized.kit is not null then coalesce(high_end_count, 0) end as high_end_count,
    case
        when sized.kit is null then 'no kit with ends of scale fits this chassis, or the target gives no tolerance'
        else missing
    end as reason
from needs
left join sized using (chassis, target)
left join used
    on used.chassis = needs.chassis
    and used.kit = sized.kit
    and used.plate_index is not distinct from sized.plate_index
    and used.own is not distinct from sized.own
left join steps
    on steps.chassis = needs.chassis
    and steps.target = needs.target
    and steps.kit = sized.kit
    and steps.plate_index = sized.plate_index
    and steps.own = sized.own;
