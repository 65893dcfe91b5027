-- Needed offset range and the share that each kit reaches: per chassis, target, kit, bolt position and hand, and one row (index
-- and hand NULL) over the best of them, both corners of a car taking plates of one pair. A chassis and target that no kit can be
-- judged for has one row without a kit. asked_*: NULL = all.
-- The interval is Wilson's with the number of independent corners: corners / (1 + 2 pairs rho / corners), rho the correlation of
-- being reached between left and right, and less what the errors that all corners share - of the slopes, and the bias of who read -
-- add to the variance of the share. used_count: corners that sit there now; *_end_count: of those, pointer in the last tenth.
create or replace temp macro ranged(asked_chassis, asked_kit, asked_target) as table
with
every_slot as (
    select *
    from reach_slots(asked_chassis, asked_kit, asked_target, [as_it_is()])
),
-- Kits whose plates are the same on a chassis are asked once.
kits as (
    select distinct chassis, target, kit, design
    from every_slot
),
slots as (
    select
        *,
        {
            'camber': reach_along(
                camber.tol + abs(side.out * camber.slope_out + side.aft * camber.slope_aft),
                abs(slot.out * camber.slope_out + slot.aft * camber.slope_aft), half_length_mm
            ),
            'caster': reach_along(
                caster.tol + abs(side.out * caster.slope_out + side.aft * caster.slope_aft),
                abs(slot.out * caster.slope_out + slot.aft * caster.slope_aft), half_length_mm
            ),
            'slot': reach_along(
                abs(slot.out * side.aft - slot.aft * side.out) + tolerance_span(camber, caster, -slot.aft, slot.out), 0,
                half_length_mm
            ),
            'side': reach_along(
                tolerance_span(camber, caster, -side.aft, side.out), abs(slot.aft * side.out - slot.out * side.aft),
                half_length_mm
            )
        } as most
    from every_slot
    where kit = design
),
slope_errors as (
    select
        chassis,
        target,
        max(corner_count) as corner_count,
        coalesce(max(shared_mm) filter (where axis = 'out'), 0) as error_out_mm,
        coalesce(max(shared_mm) filter (where axis = 'aft'), 0) as error_aft_mm
    from (select *, sqrt(power(sd_slopes_mm, 2) + power(sd_bias_mm, 2)) as shared_mm from needed_spreads)
    group by chassis, target
),
-- Some 2,000 corners of a chassis stand for more where the needs are shifted.
cars as (
    select
        chassis,
        target,
        row_number() over (partition by chassis, target) as car,
        hash(vehicle) % greatest(any_value(corner_count) // 2000, 1) = 0 as sampled,
        any_value(error_out_mm) as error_out_mm,
        any_value(error_aft_mm) as error_aft_mm,
        any_value({'out': out_mm, 'aft': aft_mm}) filter (where corner = 'FL') as left_need,
        any_value({'out': out_mm, 'aft': aft_mm}) filter (where corner = 'FR') as right_need
    from need_points
    inner join slope_errors using (chassis, target)
    where (asked_chassis is null or chassis = asked_chassis) and (asked_target is null or target = asked_target)
    group by chassis, target, vehicle
),
asked as not materialized (
    select
        chassis,
        target,
        design,
        plate_index,
        own,
        half_length_mm,
        car,
        case
            when left_need is not null
                then required_half_length(
                    left_need, {'out': middle.out_mm, 'aft': middle.aft_mm}, slot, side, camber, caster
                )
        end as left_mm,
        case
            when right_need is not null
                then required_half_length(
                    right_need, {'out': middle.out_mm, 'aft': middle.aft_mm}, slot, side, camber, caster
                )
        end as right_mm,
        case
            when sampled and left_need is not null
                then reached_shifted(
                    left_need.out - middle.out_mm, left_need.aft - middle.aft_mm, error_out_mm, error_aft_mm, slot,
                    side, camber, caster, most
                )
        end as left_shifted,
        case
            when sampled and right_need is not null
                then reached_shifted(
                    right_need.out - middle.out_mm, right_need.aft - middle.aft_mm, error_out_mm, error_aft_mm, slot,
                    side, camber, caster, most
                )
        end as right_shifted
    from cars
    inner join slots using (chassis, target)
),
-- Over the indices of one hand each corner takes the one that asks least; over the hands the car does, corner by corner, since it has
-- one pair of plates.
by_hand as (
    select
        chassis,
        target,
        design,
        half_length_mm,
        car,
        min(left_mm) filter (where own) as left_own_mm,
        min(right_mm) filter (where own) as right_own_mm,
        min(left_mm) filter (where not own) as left_other_mm,
        min(right_mm) filter (where not own) as right_other_mm,
        bit_or(left_shifted) filter (where own) as left_own_shifted,
        bit_or(right_shifted) filter (where own) as right_own_shifted,
        bit_or(left_shifted) filter (where not own) as left_other_shifted,
        bit_or(right_shifted) filter (where not own) as right_other_shifted
    from asked
    group by chassis, target, design, half_length_mm, car
),
-- left and right: the corner that asks less, and the other.
best as (
    select
        chassis,
        target,
        design,
        cast(null as integer) as plate_index,
        cast(null as boolean) as own,
        half_length_mm,
        least(left_own_mm, right_own_mm, left_other_mm, right_other_mm) as left_mm,
        case
            when left_own_mm + right_own_mm is not null
                then least(greatest(left_own_mm, right_own_mm), greatest(left_other_mm, right_other_mm))
        end as right_mm,
        coalesce(left_own_shifted, 0) | coalesce(right_own_shifted, 0) | coalesce(left_other_shifted, 0)
            | coalesce(right_other_shifted, 0)
            as any_shifted,
        (left_own_shifted & right_own_shifted) | (left_other_shifted & right_other_shifted) as right_shifted,
        case when coalesce(left_own_shifted, right_own_shifted) is not null then any_shifted end as left_shifted
    from by_hand
),
every_way as (
    select chassis, target, design, plate_index, own, half_length_mm, left_mm, right_mm, left_shifted, right_shifted
    from asked
    union all by name
    select * exclude (any_shifted)
    from best
),
shares as (
    select
        chassis,
        target,
        design,
        plate_index,
        own,
        half_length_mm,
        count(left_mm) + count(right_mm) as corner_count,
        (
            count(*) filter (where left_mm <= half_length_mm + 1e-9)
                + count(*) filter (where right_mm <= half_length_mm + 1e-9)
        ) / corner_count as share,
        count(left_mm + right_mm) as pair_count,
        count(*) filter (where left_mm <= half_length_mm + 1e-9 and right_mm <= half_length_mm + 1e-9) as both_count,
        count(*) filter (where (left_mm <= half_length_mm + 1e-9) <> (right_mm <= half_length_mm + 1e-9)) as one_count,
        power((shifted_share(left_shifted, right_shifted, 2) - shifted_share(left_shifted, right_shifted, 1)) / 2, 2)
            + power(
                (shifted_share(left_shifted, right_shifted, 8) - shifted_share(left_shifted, right_shifted, 4)) / 2, 2
            ) as slope_var,
        list_sort(
            list_concat(
                list(left_mm) filter (where left_mm is not null), list(right_mm) filter (where right_mm is not null)
            )
        ) as lengths
    from every_way
    group by chassis, target, design, plate_index, own, half_length_mm
),
correlated as (
    select
        *,
        greatest(least(coalesce(
            (
                both_count * (1 - share) * (1 - share) - one_count * share * (1 - share)
                + (pair_count - both_count - one_count) * share * share
            ) / nullif(pair_count * share * (1 - share), 0),
            1
        ), 1), 0) as rho
    from shares
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
-- The least length that reaches a share s of the corners; its interval has the shares that s cannot be told from (score test).
sized as (
    select
        effective.*,
        list_transform(
            [0.90, 0.95, 0.99],
            lambda s: list_transform(
                [
                    s, s - normal_quantile(0.975) * sqrt(s * (1 - s) / effective_count),
                    s + normal_quantile(0.975) * sqrt(s * (1 - s) / effective_count)
                ],
                lambda p: case when p <= 1 then lengths[greatest(cast(ceil(p * corner_count - 1e-9) as bigint), 1)] end
            )
        ) as least
    from effective
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
    select
        chassis,
        target,
        design,
        plate_index,
        own,
        pitch_mm,
        abs(camber.slope_out * slot.out + camber.slope_aft * slot.aft) as camber_per_mm,
        abs(caster.slope_out * slot.out + caster.slope_aft * slot.aft) as caster_per_mm,
        camber.tol as camber_tol,
        caster.tol as caster_tol
    from slots
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
    kits.kit,
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
    case when kits.kit is not null then coalesce(used_count, 0) end as used_count,
    case when kits.kit is not null then coalesce(low_end_count, 0) end as low_end_count,
    case when kits.kit is not null then coalesce(high_end_count, 0) end as high_end_count,
    case
        when kits.kit is null then 'no kit with ends of scale fits this chassis, or the target gives no tolerance'
        else missing
    end as reason
from needs
left join kits using (chassis, target)
left join sized using (chassis, target, design)
left join used
    on used.chassis = needs.chassis
    and used.kit = kits.kit
    and used.plate_index is not distinct from sized.plate_index
    and used.own is not distinct from sized.own
left join steps
    on steps.chassis = needs.chassis
    and steps.target = needs.target
    and steps.design = sized.design
    and steps.plate_index = sized.plate_index
    and steps.own = sized.own;
