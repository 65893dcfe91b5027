-- title: Slopes with cluster-robust standard errors
-- grain: one row per chassis and response that has moves
-- source: moves, slope_fits, slope_clusters
-- part: chassis
-- missing: a slope is NULL where the chassis never moved along its axis, or only along one slanting line (rank 'line')
-- Sandwich of the MM-estimate with the working weights w (robustbase's .vcov.w form: bread X'WX, factor sum w / sum psi'),
-- CR2 adjustment per vehicle and Satterthwaite degrees of freedom under independent errors (Bell and McCaffrey 2002;
-- Pustejovsky and Tipton 2018, equations 6-11). CR2 and not CR1 because fleets of 5 to 15 cars with one that moved far more
-- than the rest are usual, where CR1 with G-1 degrees of freedom is too narrow.
-- Mark-reading error: where the reliability ratio of an axis is under 0.98, X'WX is lowered by the error's known variance
-- (Fuller, Measurement Error Models, 1987, section 2.2).
-- column chassis VARCHAR: platform code
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column rank VARCHAR: full, out (only), aft (only), line (one slanting direction), none (every move down-weighted to 0)
-- column slope_out DOUBLE [deg/mm]: estimate, outboard
-- column slope_aft DOUBLE [deg/mm]: estimate, rearward
-- column var_out DOUBLE [deg2/mm2]: its CR2 variance; NULL where one vehicle carries all that is known of the axis
-- column var_aft DOUBLE [deg2/mm2]: CR2 variance, rearward
-- column cov_out_aft DOUBLE [deg2/mm2]: CR2 covariance
-- column df_out DOUBLE: Satterthwaite degrees of freedom
-- column df_aft DOUBLE: Satterthwaite degrees of freedom
-- column xx_oo DOUBLE [mm2]: weighted sum of squares used for the slopes
-- column xx_oa DOUBLE [mm2]: weighted sum of products
-- column xx_aa DOUBLE [mm2]: weighted sum of squares
-- column xy_o DOUBLE [mm.deg]: weighted sum of products with the change
-- column xy_a DOUBLE [mm.deg]: weighted sum of products with the change
-- column noise_var_deg2 DOUBLE [deg2]: variance of one move with weight 1 times mean robust weight / 0.95: xx^-1 times it is the model variance
-- column reliability_out DOUBLE: share of xx_oo that is not mark-reading error
-- column reliability_aft DOUBLE: share of xx_aa that is not mark-reading error
-- column corrected BOOLEAN: mark-reading error was taken off
-- column move_count BIGINT: moves
-- column move_out_count BIGINT: moves with a change outboard
-- column move_aft_count BIGINT: moves with a change rearward
-- column vehicle_count BIGINT: vehicles
-- column vehicle_out_count BIGINT: vehicles that moved outboard
-- column vehicle_aft_count BIGINT: vehicles that moved rearward
-- column downweighted_count BIGINT: moves with a robust weight under 1/2
-- column unequal_toe_count BIGINT: moves whose camber could not be brought to equal toe
-- column no_caster_count BIGINT: of those, moves with toe, on a chassis without any caster
-- column mid_out_mm DOUBLE [mm]: mean offset at which the outboard slope holds
-- column mid_aft_mm DOUBLE [mm]: mean offset at which the rearward slope holds
with
weighted as (
    select
        moves.*,
        (change_deg - slope_out * move_out_mm - slope_aft * move_aft_mm) / end_deg as u,
        weight * u * u as q,
        bisquare_weight(q) as robust_weight,
        weight * robust_weight as w
    from moves
    inner join slope_fits using (chassis, response)
),
weights as (
    select
        chassis,
        response,
        fine_sum(w) as weight_sum,
        fine_sum(weight * bisquare_slope(q)) as slope_sum,
        fine_sum(weight) as prior_weight_sum,
        count(*) filter (where robust_weight < 0.5) as downweighted_count,
        count(*) filter (where response = 'camber_deg' and equal_toe in ('unknown', 'no caster')) as unequal_toe_count,
        count(*) filter (where response = 'camber_deg' and equal_toe = 'no caster') as no_caster_count,
        grid_sum(w * abs(move_out_mm) * mid_out_mm) / nullif(grid_sum(w * abs(move_out_mm)), 0) as mid_out_mm,
        grid_sum(w * abs(move_aft_mm) * mid_aft_mm) / nullif(grid_sum(w * abs(move_aft_mm)), 0) as mid_aft_mm
    from weighted
    group by chassis, response
),
totals as (
    select
        chassis,
        response,
        grid_sum(xx_oo) as raw_oo,
        grid_sum(xx_oa) as raw_oa,
        grid_sum(xx_aa) as raw_aa,
        grid_sum(xy_o) as xy_o,
        grid_sum(xy_a) as xy_a,
        fine_sum(error_oo) as error_oo,
        fine_sum(error_oa) as error_oa,
        fine_sum(error_aa) as error_aa,
        cast(sum(move_count) as bigint) as move_count,
        cast(sum(move_out_count) as bigint) as move_out_count,
        cast(sum(move_aft_count) as bigint) as move_aft_count,
        count(*) as vehicle_count,
        count(*) filter (where move_out_count > 0) as vehicle_out_count,
        count(*) filter (where move_aft_count > 0) as vehicle_aft_count,
        count(*) filter (where xx_oo > 1e-6) as used_out_count,
        count(*) filter (where xx_aa > 1e-6) as used_aft_count
    from slope_clusters
    group by chassis, response
),
ranked as (
    select
        totals.*,
        weights.* exclude (chassis, response),
        scale_deg,
        case
            when raw_oo <= 1e-6 and raw_aa <= 1e-6 then 'none'
            when raw_aa <= 1e-6 then 'out'
            when raw_oo <= 1e-6 then 'aft'
            when raw_oo * raw_aa - raw_oa * raw_oa <= 1e-6 * raw_oo * raw_aa then 'line'
            else 'full'
        end as rank,
        case when raw_oo > 1e-6 then 1 - error_oo / raw_oo end as reliability_out,
        case when raw_aa > 1e-6 then 1 - error_aa / raw_aa end as reliability_aft
    from totals
    inner join weights using (chassis, response)
    inner join slope_fits using (chassis, response)
),
correctable as (
    select
        *,
        coalesce(least(reliability_out, reliability_aft) < 0.98, false)
            and coalesce(least(reliability_out, reliability_aft) > 0.2, false)
            and rank in ('full', 'out', 'aft')
            and (
                rank <> 'full'
                or (raw_oo - error_oo) * (raw_aa - error_aa) - power(raw_oa - error_oa, 2)
                    > 0.05 * (raw_oo - error_oo) * (raw_aa - error_aa)
            ) as corrected
    from ranked
),
used as (
    select
        *,
        case when corrected then raw_oo - error_oo else raw_oo end as xx_oo,
        case when corrected then raw_oa - error_oa else raw_oa end as xx_oa,
        case when corrected then raw_aa - error_aa else raw_aa end as xx_aa,
        raw_oo * raw_aa - raw_oa * raw_oa as raw_det
    from correctable
),
-- inv_* is the inverse of the matrix used; l_* the Cholesky factor of the inverse of the raw one, for the leverages.
solved as (
    select
        *,
        case rank when 'full' then xx_aa / (xx_oo * xx_aa - xx_oa * xx_oa) when 'out' then 1 / xx_oo else 0 end as inv_oo,
        case rank when 'full' then -xx_oa / (xx_oo * xx_aa - xx_oa * xx_oa) else 0 end as inv_oa,
        case rank when 'full' then xx_oo / (xx_oo * xx_aa - xx_oa * xx_oa) when 'aft' then 1 / xx_aa else 0 end as inv_aa,
        case rank when 'full' then sqrt(raw_aa / raw_det) when 'out' then sqrt(1 / raw_oo) else 0 end as l_oo,
        case rank when 'full' then -raw_oa / sqrt(raw_aa * raw_det) else 0 end as l_ao,
        case rank when 'full' then sqrt(1 / raw_aa) when 'aft' then sqrt(1 / raw_aa) else 0 end as l_aa
    from used
),
estimated as (
    select
        *,
        case when rank in ('full', 'out') then inv_oo * xy_o + inv_oa * xy_a end as slope_out,
        case when rank in ('full', 'aft') then inv_oa * xy_o + inv_aa * xy_a end as slope_aft,
        weight_sum / greatest(slope_sum, 0.2 * weight_sum) as psi_factor
    from solved
),
scores as (
    select
        estimated.chassis,
        estimated.response,
        inv_oo, inv_oa, inv_aa, l_oo, l_ao, l_aa, raw_oo, raw_oa, raw_aa, psi_factor,
        clusters.xx_oo as c_oo,
        clusters.xx_oa as c_oa,
        clusters.xx_aa as c_aa,
        clusters.xy_o
            - (clusters.xx_oo - case when corrected then clusters.error_oo else 0 end) * coalesce(slope_out, 0)
            - (clusters.xx_oa - case when corrected then clusters.error_oa else 0 end) * coalesce(slope_aft, 0) as s_o,
        clusters.xy_a
            - (clusters.xx_oa - case when corrected then clusters.error_oa else 0 end) * coalesce(slope_out, 0)
            - (clusters.xx_aa - case when corrected then clusters.error_aa else 0 end) * coalesce(slope_aft, 0) as s_a
    from estimated
    inner join slope_clusters as clusters using (chassis, response)
),
-- d = I - L'CL of the cluster; its inverse square root in closed form (2 x 2), a zero eigenvalue left out.
leverages as (
    select
        *,
        1 - (l_oo * l_oo * c_oo + 2 * l_oo * l_ao * c_oa + l_ao * l_ao * c_aa) as d_oo,
        -l_aa * (l_oo * c_oa + l_ao * c_aa) as d_oa,
        1 - l_aa * l_aa * c_aa as d_aa
    from scores
),
roots as (
    select
        *,
        greatest(d_oo * d_aa - d_oa * d_oa, 0) as det,
        sqrt(greatest(d_oo + d_aa + 2 * sqrt(greatest(d_oo * d_aa - d_oa * d_oa, 0)), 0)) as spread
    from leverages
),
adjusted as (
    select
        *,
        case
            when det > 1e-10 then (d_aa + sqrt(det)) / (sqrt(det) * spread)
            when d_oo + d_aa > 1e-6 then d_oo / power(d_oo + d_aa, 1.5)
            else 0
        end as h_oo,
        case
            when det > 1e-10 then -d_oa / (sqrt(det) * spread)
            when d_oo + d_aa > 1e-6 then d_oa / power(d_oo + d_aa, 1.5)
            else 0
        end as h_oa,
        case
            when det > 1e-10 then (d_oo + sqrt(det)) / (sqrt(det) * spread)
            when d_oo + d_aa > 1e-6 then d_aa / power(d_oo + d_aa, 1.5)
            else 0
        end as h_aa
    from roots
),
projected as (
    select
        *,
        l_oo * l_oo * h_oo as q_oo,
        l_oo * (h_oo * l_ao + h_oa * l_aa) as q_oa,
        l_ao * (l_ao * h_oo + l_aa * h_oa) + l_aa * (l_ao * h_oa + l_aa * h_aa) as q_aa
    from adjusted
),
influences as (
    select
        *,
        q_oo * s_o + q_oa * s_a as z_o,
        q_oa * s_o + q_aa * s_a as z_a,
        c_oo * q_oo + c_oa * q_oa as b_oo,
        c_oa * q_oo + c_aa * q_oa as b_oa,
        c_oo * q_oa + c_oa * q_aa as b_ao,
        c_oa * q_oa + c_aa * q_aa as b_aa
    from projected
),
raw_inverse as (
    select
        *,
        l_oo * l_oo as m_oo,
        l_oo * l_ao as m_oa,
        l_ao * l_ao + l_aa * l_aa as m_aa,
        -- The correction for mark-reading error carries the influence from the raw to the corrected matrix.
        inv_oo * (raw_oo * z_o + raw_oa * z_a) + inv_oa * (raw_oa * z_o + raw_aa * z_a) as v_o,
        inv_oa * (raw_oo * z_o + raw_oa * z_a) + inv_aa * (raw_oa * z_o + raw_aa * z_a) as v_a
    from influences
),
quadratics as (
    select
        *,
        q_oo * b_oo + q_oa * b_oa as alpha_out,
        q_oa * b_ao + q_aa * b_aa as alpha_aft,
        m_oo * b_oo * b_oo + 2 * m_oa * b_oo * b_oa + m_aa * b_oa * b_oa as bmb_out,
        m_oo * b_ao * b_ao + 2 * m_oa * b_ao * b_aa + m_aa * b_aa * b_aa as bmb_aft
    from raw_inverse
),
-- Each term in the units of the model variance, so that the grid of the sums is fine enough for it.
summed as (
    select
        chassis,
        response,
        power(any_value(psi_factor), 2) as psi_square,
        psi_square * any_value(inv_oo) * fine_sum(v_o * v_o / nullif(inv_oo, 0)) as var_out,
        psi_square * any_value(inv_aa) * fine_sum(v_a * v_a / nullif(inv_aa, 0)) as var_aft,
        psi_square * any_value(sqrt(inv_oo * inv_aa)) * fine_sum(v_o * v_a / nullif(sqrt(inv_oo * inv_aa), 0)) as cov_out_aft,
        any_value(quadratics.m_oo) as m_oo,
        any_value(quadratics.m_oa) as m_oa,
        any_value(quadratics.m_aa) as m_aa,
        any_value(quadratics.m_oo) * fine_sum((alpha_out - bmb_out) / nullif(quadratics.m_oo, 0)) as trace_out,
        any_value(quadratics.m_aa) * fine_sum((alpha_aft - bmb_aft) / nullif(quadratics.m_aa, 0)) as trace_aft,
        power(any_value(quadratics.m_oo), 2)
            * fine_sum(alpha_out * (alpha_out - 2 * bmb_out) / nullif(power(quadratics.m_oo, 2), 0)) as square_out,
        power(any_value(quadratics.m_aa), 2)
            * fine_sum(alpha_aft * (alpha_aft - 2 * bmb_aft) / nullif(power(quadratics.m_aa, 2), 0)) as square_aft,
        fine_sum(b_oo * b_oo) as bb_out_oo,
        fine_sum(b_oo * b_oa) as bb_out_oa,
        fine_sum(b_oa * b_oa) as bb_out_aa,
        fine_sum(b_ao * b_ao) as bb_aft_oo,
        fine_sum(b_ao * b_aa) as bb_aft_oa,
        fine_sum(b_aa * b_aa) as bb_aft_aa
    from quadratics
    group by chassis, response
),
-- trace(MBMB) with N = MB, for each axis.
products as (
    select
        *,
        m_oo * bb_out_oo + m_oa * bb_out_oa as n_out_oo,
        m_oo * bb_out_oa + m_oa * bb_out_aa as n_out_oa,
        m_oa * bb_out_oo + m_aa * bb_out_oa as n_out_ao,
        m_oa * bb_out_oa + m_aa * bb_out_aa as n_out_aa,
        m_oo * bb_aft_oo + m_oa * bb_aft_oa as n_aft_oo,
        m_oo * bb_aft_oa + m_oa * bb_aft_aa as n_aft_oa,
        m_oa * bb_aft_oo + m_aa * bb_aft_oa as n_aft_ao,
        m_oa * bb_aft_oa + m_aa * bb_aft_aa as n_aft_aa
    from summed
),
degrees as (
    select
        products.*,
        -- Where one vehicle carries all that is known of an axis, no residual of it is left to judge the slope by.
        used_out_count >= 2 and slope_out is not null and trace_out > 1e-4 * m_oo as clustered_out,
        used_aft_count >= 2 and slope_aft is not null and trace_aft > 1e-4 * m_aa as clustered_aft,
        power(trace_out, 2)
            / nullif(square_out + n_out_oo * n_out_oo + 2 * n_out_oa * n_out_ao + n_out_aa * n_out_aa, 0) as df_out,
        power(trace_aft, 2)
            / nullif(square_aft + n_aft_oo * n_aft_oo + 2 * n_aft_oa * n_aft_ao + n_aft_aa * n_aft_aa, 0) as df_aft
    from products
    inner join estimated using (chassis, response)
)
select
    chassis,
    response,
    rank,
    slope_out,
    slope_aft,
    case when clustered_out then var_out end as var_out,
    case when clustered_aft then var_aft end as var_aft,
    case when clustered_out and clustered_aft then cov_out_aft end as cov_out_aft,
    case when clustered_out then df_out end as df_out,
    case when clustered_aft then df_aft end as df_aft,
    xx_oo,
    xx_oa,
    xx_aa,
    xy_o,
    xy_a,
    scale_deg * scale_deg * weight_sum / prior_weight_sum / 0.95 as noise_var_deg2,
    reliability_out,
    reliability_aft,
    corrected,
    estimated.move_count,
    move_out_count,
    move_aft_count,
    vehicle_count,
    vehicle_out_count,
    vehicle_aft_count,
    downweighted_count,
    unequal_toe_count,
    no_caster_count,
    mid_out_mm,
    mid_aft_mm
from estimated
inner join degrees using (chassis, response)
