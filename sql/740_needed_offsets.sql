-- title: The bearing offset that would hit a target exactly
-- grain: one row per vehicle, front corner and target of its chassis with camber or caster
-- source: states, goals, sensitivities, reading_noise, scale_ends
-- missing: a corner without a state that has a known offset and every angle that the target names is left out; need_aft_mm is NULL
-- for a target without caster, need_out_mm for one without camber; limit_mm is NULL where the corner is not censored
-- The newest such state counts, but no after of a session, which may have moved the plate unseen. Need = offset + B^-1 (goal -
-- reading), B = slopes of camber and caster at the target's toe. Censored: a pointer at the end of its scale and an angle missed
-- that would come nearer beyond it; of the need it is then only known that it lies past limit_mm along beyond_*, where the missed
-- angles would come within tolerance. Set apart, where there are 8 corners or more: over 5 times 1.4826 median absolute deviations
-- from the median; that is a mistake of writing rather than a car.
-- column chassis VARCHAR: platform code
-- column target VARCHAR: target
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR
-- column visit VARCHAR: visit of the state
-- column phase VARCHAR: before moved after
-- column kit VARCHAR: kit that is fitted; NULL = original mount
-- column offset_out_mm DOUBLE [mm]: bearing offset of the state, outboard
-- column offset_aft_mm DOUBLE [mm]: bearing offset of the state, rearward
-- column move_out_mm DOUBLE [mm]: from there to the need, outboard
-- column move_aft_mm DOUBLE [mm]: from there to the need, rearward
-- column need_out_mm DOUBLE [mm]: needed offset, outboard
-- column need_aft_mm DOUBLE [mm]: needed offset, rearward
-- column noise_oo_mm2 DOUBLE [mm2]: variance of the need from reading noise and pointer reading, outboard
-- column noise_oa_mm2 DOUBLE [mm2]: its covariance
-- column noise_aa_mm2 DOUBLE [mm2]: its variance rearward
-- column beyond_out DOUBLE: outboard part of the direction (length 1) past the end; NULL where not censored
-- column beyond_aft DOUBLE: its rearward part
-- column limit_mm DOUBLE [mm]: the need lies at more than this along that direction, from the original mount's bearing centre
-- column set_apart BOOLEAN: far from the other corners: over 5 robust standard deviations from their median along an axis
-- column source_file VARCHAR: file of the state
-- column source_line INTEGER: line in that file
with
noises as (
    select
        gauge,
        max(sd_deg) filter (where response = 'camber_deg') as camber_sd_deg,
        max(sd_deg) filter (where response = 'caster_deg') as caster_sd_deg,
        max(sd_deg) filter (where response = 'toe_deg') as toe_sd_deg
    from reading_noise
    group by gauge
),
slopes_of as (
    select
        chassis,
        max(slope_out) filter (where response = 'camber_deg') as camber_out,
        max(slope_aft) filter (where response = 'camber_deg') as camber_aft,
        max(spread_var) filter (where response = 'camber_deg') as camber_spread_var,
        max(slope_out) filter (where response = 'caster_deg') as caster_out,
        max(slope_aft) filter (where response = 'caster_deg') as caster_aft,
        max(spread_var) filter (where response = 'caster_deg') as caster_spread_var
    from sensitivities
    where chassis is not null
    group by chassis
),
newest as (
    select states.* exclude (target), goals.* exclude (chassis)
    from states
    inner join goals on goals.chassis = states.chassis
    where corner in ('FL', 'FR')
        and offset_out_mm is not null
        and not (visit_kind = 'session' and phase = 'after')
        and coalesce(goal_camber_deg, goal_caster_deg) is not null
        and (goal_camber_deg is null or camber_deg is not null)
        and (goal_caster_deg is null or caster_deg is not null)
    qualify row_number() over (
        partition by states.vehicle, corner, goals.target order by measured_ts desc nulls last, phase_order desc, visit desc
    ) = 1
),
-- A wheel that toes in by 1 deg about an axis with caster t loses tan(t) deg of camber.
short as (
    select
        newest.*,
        slopes_of.* exclude (chassis),
        goal_camber_deg - camber_deg + coalesce(tan_deg(caster_deg) * (goal_toe_deg - toe_deg), 0) as camber_short,
        goal_caster_deg - caster_deg as caster_short,
        camber_sd_deg * camber_sd_deg / nullif(camber_count, 0)
            + coalesce(power(tan_deg(caster_deg) * toe_sd_deg, 2) / nullif(case when goal_toe_deg is not null then toe_count end, 0), 0)
            as camber_var,
        caster_sd_deg * caster_sd_deg / nullif(caster_count, 0) as caster_var,
        camber_out * caster_aft - camber_aft * caster_out as det
    from newest
    inner join slopes_of on slopes_of.chassis = newest.chassis
    inner join noises on noises.gauge is not distinct from newest.gauge
),
-- B^-1; with one angle only, the axis that moves it.
inverted as (
    select
        *,
        case when camber_short is null then 0 when caster_short is null then 1 / camber_out else caster_aft / det end as out_per_camber,
        case when camber_short is null or caster_short is null then 0 else -camber_aft / det end as out_per_caster,
        case when camber_short is null or caster_short is null then 0 else -caster_out / det end as aft_per_camber,
        case when caster_short is null then 0 when camber_short is null then 1 / caster_aft else camber_out / det end as aft_per_caster
    from short
),
moved as (
    select
        *,
        out_per_camber * coalesce(camber_short, 0) + out_per_caster * coalesce(caster_short, 0) as move_out_mm,
        aft_per_camber * coalesce(camber_short, 0) + aft_per_caster * coalesce(caster_short, 0) as move_aft_mm
    from inverted
),
noisy as (
    select
        *,
        coalesce(camber_var, 0) + camber_spread_var * (move_out_mm * move_out_mm + move_aft_mm * move_aft_mm) as camber_noise,
        coalesce(caster_var, 0) + caster_spread_var * (move_out_mm * move_out_mm + move_aft_mm * move_aft_mm) as caster_noise
    from moved
),
ends as (
    select
        noisy.vehicle,
        noisy.corner,
        noisy.target,
        -- With one angle only, what counts of the direction is how it moves that angle along its axis.
        case
            when camber_short is null then 0
            when caster_short is null then sign(camber_out * scale_ends.beyond_out + camber_aft * scale_ends.beyond_aft)
            else scale_ends.beyond_out
        end as beyond_out,
        case
            when camber_short is null then sign(caster_out * scale_ends.beyond_out + caster_aft * scale_ends.beyond_aft)
            when caster_short is null then 0
            else scale_ends.beyond_aft
        end as beyond_aft,
        abs(camber_short) > camber_tol_deg
            and camber_short * (camber_out * scale_ends.beyond_out + camber_aft * scale_ends.beyond_aft) > 0
            and abs(camber_out * scale_ends.beyond_out + camber_aft * scale_ends.beyond_aft) > 0.02 as camber_missed,
        abs(caster_short) > caster_tol_deg
            and caster_short * (caster_out * scale_ends.beyond_out + caster_aft * scale_ends.beyond_aft) > 0
            and abs(caster_out * scale_ends.beyond_out + caster_aft * scale_ends.beyond_aft) > 0.02 as caster_missed
    from noisy
    inner join scale_ends using (vehicle, corner, visit, phase)
),
-- How far past the end each missed angle would come within tolerance, the part of the need across the direction being given.
limits as (
    select
        ends.*,
        move_out_mm * beyond_out + move_aft_mm * beyond_aft as past_mm,
        (
            sign(camber_short) * camber_tol_deg
            - (camber_aft * beyond_out - camber_out * beyond_aft) * (move_aft_mm * beyond_out - move_out_mm * beyond_aft)
        ) / (camber_out * beyond_out + camber_aft * beyond_aft) as camber_limit_mm,
        (
            sign(caster_short) * caster_tol_deg
            - (caster_aft * beyond_out - caster_out * beyond_aft) * (move_aft_mm * beyond_out - move_out_mm * beyond_aft)
        ) / (caster_out * beyond_out + caster_aft * beyond_aft) as caster_limit_mm,
        offset_out_mm * beyond_out + offset_aft_mm * beyond_aft as end_mm
    from ends
    inner join noisy using (vehicle, corner, target)
    where coalesce(camber_missed, false) or coalesce(caster_missed, false)
),
censored as (
    select
        vehicle,
        corner,
        target,
        beyond_out,
        beyond_aft,
        end_mm + greatest(
            case when camber_missed then camber_limit_mm end, case when caster_missed then caster_limit_mm end
        ) as limit_mm
    from limits
    qualify row_number() over (partition by vehicle, corner, target order by past_mm desc, beyond_out) = 1
),
needed as (
    select
        chassis,
        target,
        vehicle,
        corner,
        visit,
        phase,
        kit,
        offset_out_mm,
        offset_aft_mm,
        move_out_mm,
        move_aft_mm,
        case when camber_short is not null then round(offset_out_mm + move_out_mm, 6) end as need_out_mm,
        case when caster_short is not null then round(offset_aft_mm + move_aft_mm, 6) end as need_aft_mm,
        out_per_camber * out_per_camber * camber_noise + out_per_caster * out_per_caster * caster_noise + read_error_oo_mm2 as noise_oo_mm2,
        out_per_camber * aft_per_camber * camber_noise + out_per_caster * aft_per_caster * caster_noise + read_error_oa_mm2 as noise_oa_mm2,
        aft_per_camber * aft_per_camber * camber_noise + aft_per_caster * aft_per_caster * caster_noise + read_error_aa_mm2 as noise_aa_mm2,
        beyond_out,
        beyond_aft,
        limit_mm,
        source_file,
        source_line
    from noisy
    left join censored using (vehicle, corner, target)
),
middles as (
    select
        chassis,
        target,
        count(*) as corner_count,
        median(need_out_mm) as middle_out_mm,
        median(need_aft_mm) as middle_aft_mm,
        greatest(1.4826 * mad(need_out_mm), sqrt(median(noise_oo_mm2))) as scale_out_mm,
        greatest(1.4826 * mad(need_aft_mm), sqrt(median(noise_aa_mm2))) as scale_aft_mm
    from needed
    group by chassis, target
)
select
    chassis,
    target,
    vehicle,
    corner,
    visit,
    phase,
    kit,
    offset_out_mm,
    offset_aft_mm,
    move_out_mm,
    move_aft_mm,
    need_out_mm,
    need_aft_mm,
    noise_oo_mm2,
    noise_oa_mm2,
    noise_aa_mm2,
    beyond_out,
    beyond_aft,
    limit_mm,
    corner_count >= 8
        and (
            coalesce(abs(need_out_mm - middle_out_mm) > 5 * scale_out_mm, false)
            or coalesce(abs(need_aft_mm - middle_aft_mm) > 5 * scale_aft_mm, false)
        ) as set_apart,
    source_file,
    source_line
from needed
inner join middles using (chassis, target)
