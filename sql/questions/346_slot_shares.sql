-- Share of the corners that each slot reaches, and the least half-lengths that reach 90, 95 and 99 % of them: one row per chassis, target,
-- design, bolt position and hand, and one over the best of them, as car_reaches has them.
-- effective_count is the number of independent corners: corners / (1 + 2 pairs rho / corners), rho the correlation of
-- being reached between left and right, and less what the errors that all corners share - of the slopes, and the bias of who read -
-- add to the variance of the share.
create or replace temp macro slot_shares(asked_chassis, asked_kit, asked_target) as table
with
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
    from car_reaches(asked_chassis, asked_kit, asked_target)
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
)
-- The least length that reaches a share s of the corners; its interval has the shares that s cannot be told from (score test).
select
    effective.* exclude (lengths),
    list_transform(
        [0.90, 0.95, 0.99],
        lambda s: list_transform(
            [
                s, s - z_975() * sqrt(s * (1 - s) / effective_count),
                s + z_975() * sqrt(s * (1 - s) / effective_count)
            ],
            lambda p: case when p <= 1 then nullif(
                lengths[greatest(cast(ceil(p * corner_count - 1e-9) as bigint), 1)], cast('infinity' as double)
            ) end
        )
    ) as least
from effective;
