-- title: Bearing offset that meets a target exactly
-- grain: one row per vehicle, front corner and target of its chassis with camber or caster
-- source: states, chassis_targets, reading_noise, reader_worths, front_slopes, scale_ends
-- missing: a corner without a state that has a known offset and every angle that the target names is left out; need_aft_mm is NULL
-- for a target without caster, need_out_mm for one without camber; limit_mm is NULL where the corner is not censored
-- The newest such state counts, but no after of a session, which may have moved the plate unseen. The mean of a
-- state counts as of one mounting. Need = offset + B^-1 (goal -
-- reading less the bias of who read, as far as known), B = slopes of camber and caster at the target's toe. Its noise is what scatters
-- from corner to corner: repeats, set-ups where readings tell of them, slopes and pointer; what is not known of the bias, which the
-- corners that one gauge read share, stands apart. Censored: a pointer at the end of its scale and an angle missed
-- that would come nearer beyond it; of the need it is then only known that it lies past limit_mm along beyond_*, where the missed
-- angles would come within tolerance.
-- Set apart, where there are 8 corners or more: over 5 times 1.4826 median absolute deviations from the median; that is a mistake of
-- writing rather than a car.
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
-- column bias_out_sd_mm DOUBLE [mm]: standard deviation, outboard, of what is not known of the bias of who read
-- column bias_aft_sd_mm DOUBLE [mm]: the same rearward
-- column beyond_out DOUBLE: outboard part of the direction (length 1) past the end; NULL where not censored
-- column beyond_aft DOUBLE: its rearward part
-- column limit_mm DOUBLE [mm]: the need lies at more than this along that direction, from the original mount's bearing centre
-- column set_apart BOOLEAN: far from the other corners: over 5 robust standard deviations from their median along an axis
-- column source_file VARCHAR: file of the state
-- column source_line INTEGER: line in that file
with
-- Angles that the targets of a chassis name.
named as (
    select distinct chassis, goal_camber_deg is not null as names_camber, goal_caster_deg is not null as names_caster
    from chassis_targets
    where coalesce(goal_camber_deg, goal_caster_deg) is not null
),
fronts as (
    select states.*, names_camber, names_caster, place_in_time(ordered_ts, visit, phase_order) as place
    from states
    inner join named on named.chassis = states.chassis
    where corner in ('FL', 'FR') and offset_out_mm is not null and not (visit_kind = 'session' and phase = 'after')
        and (not names_camber or camber_deg is not null) and (not names_caster or caster_deg is not null)
),
latest as (
    select vehicle, corner, names_camber, names_caster, max(place) as place
    from fronts group by vehicle, corner, names_camber, names_caster
),
noises as (
    select * from reading_noise pivot (
        max(sd_deg) as sd_deg, max(shared_var_deg2) as shared_deg2
        for response in ('camber_deg' as camber, 'caster_deg' as caster, 'toe_deg' as toe) group by gauge
    )
),
rated as (
    select
        newest.* exclude (camber_deg, caster_deg, toe_deg, target),
        camber_deg - camber_bias_deg as camber_deg,
        caster_deg - caster_bias_deg as caster_deg,
        toe_deg - toe_bias_deg as toe_deg,
        mean_var(power(camber_sd_deg, 2), noises.camber_shared_deg2, nullif(camber_count, 0)) + camber_told_var_deg2
            as camber_var,
        mean_var(power(caster_sd_deg, 2), noises.caster_shared_deg2, nullif(caster_count, 0)) + caster_told_var_deg2
            as caster_var,
        mean_var(power(toe_sd_deg, 2), noises.toe_shared_deg2, nullif(toe_count, 0)) + toe_told_var_deg2 as toe_var,
        camber_bias_var_deg2 as camber_bias, caster_bias_var_deg2 as caster_bias
    from fronts as newest
    semi join latest using (vehicle, corner, names_camber, names_caster, place)
    inner join noises on noises.gauge is not distinct from newest.gauge
    -- Whoever is not among the readers is anyone.
    left join (select reader from reader_worths) as known
        on known.reader = reader_of(newest.gauge, technician)
    inner join reader_worths as worths on worths.reader = coalesce(known.reader, 0)
),
-- A wheel that toes in by 1 deg about an axis with caster t loses tan(t) deg of camber.
short as (
    select
        rated.* exclude (camber_var),
        scale_ends.* exclude (chassis, vehicle, corner, visit, phase), front_slopes.* exclude (chassis),
        targets.target, camber_tol_deg, caster_tol_deg,
        camber_var + coalesce(power(tan_deg(caster_deg), 2) * case when goal_toe_deg is not null then toe_var end, 0)
            as camber_var,
        side_goal(corner, goal_camber_deg, cross_camber_deg) - camber_deg
            + coalesce(tan_deg(caster_deg) * (goal_toe_deg - toe_deg), 0) as camber_short,
        side_goal(corner, goal_caster_deg, cross_caster_deg) - caster_deg as caster_short,
        camber_out * caster_aft - camber_aft * caster_out as det
    from rated
    inner join chassis_targets as targets on targets.chassis = rated.chassis
        and names_camber = (goal_camber_deg is not null) and names_caster = (goal_caster_deg is not null)
    inner join front_slopes on front_slopes.chassis = rated.chassis
    left join scale_ends using (vehicle, corner, visit, phase)
),
-- B^-1; with one angle only, the axis that moves it.
inverted as (
    select
        *,
        case when camber_short is null then 0
            when caster_short is null then 1 / camber_out else caster_aft / det end as out_per_camber,
        case when camber_short is null or caster_short is null then 0 else -camber_aft / det end as out_per_caster,
        case when camber_short is null or caster_short is null then 0 else -caster_out / det end as aft_per_camber,
        case when caster_short is null then 0
            when camber_short is null then 1 / caster_aft else camber_out / det end as aft_per_caster
    from short
),
moved as (
    select
        *,
        out_per_camber * coalesce(camber_short, 0) + out_per_caster * coalesce(caster_short, 0) as move_out_mm,
        aft_per_camber * coalesce(camber_short, 0) + aft_per_caster * coalesce(caster_short, 0) as move_aft_mm,
        move_out_mm * move_out_mm + move_aft_mm * move_aft_mm as moved_mm2,
        coalesce(camber_var, 0) + camber_spread_var * moved_mm2 as camber_noise,
        coalesce(caster_var, 0) + caster_spread_var * moved_mm2 as caster_noise
    from inverted
),
directed as (
    select
        *,
        {'short': camber_short, 'tol': camber_tol_deg, 'slope_out': camber_out, 'slope_aft': camber_aft} as camber,
        {'short': caster_short, 'tol': caster_tol_deg, 'slope_out': caster_out, 'slope_aft': caster_aft} as caster,
        {'out': move_out_mm, 'aft': move_aft_mm} as move,
        past_end_direction(camber, caster, end_1_out, end_1_aft) as direction_1,
        past_end_direction(camber, caster, end_2_out, end_2_aft) as direction_2
    from moved
),
limited as (
    select
        *,
        past_end(camber, caster, end_1_out, end_1_aft, direction_1, move) as end_1,
        past_end(camber, caster, end_2_out, end_2_aft, direction_2, move) as end_2
    from directed
),
-- Of two ends the one that the need lies further past.
censored as (
    select
        *,
        end_1.limit_mm is not null and (
            end_2.limit_mm is null or end_1.past_mm > end_2.past_mm
            or (end_1.past_mm = end_2.past_mm and direction_1.out <= direction_2.out)
        ) as first_end,
        case when first_end then end_1.limit_mm else end_2.limit_mm end as limit_past_mm,
        case when limit_past_mm is not null then case when first_end then direction_1 else direction_2 end end as beyond
    from limited
),
offsets as (
    select
        chassis, target, vehicle, corner, visit, phase, kit, offset_out_mm, offset_aft_mm, move_out_mm, move_aft_mm,
        case when camber_short is not null then round(offset_out_mm + move_out_mm, 6) end as need_out_mm,
        case when caster_short is not null then round(offset_aft_mm + move_aft_mm, 6) end as need_aft_mm,
        out_per_camber * out_per_camber * camber_noise + out_per_caster * out_per_caster * caster_noise
            + read_error_oo_mm2 as noise_oo_mm2,
        out_per_camber * aft_per_camber * camber_noise + out_per_caster * aft_per_caster * caster_noise
            + read_error_oa_mm2 as noise_oa_mm2,
        aft_per_camber * aft_per_camber * camber_noise + aft_per_caster * aft_per_caster * caster_noise
            + read_error_aa_mm2 as noise_aa_mm2,
        sqrt(out_per_camber * out_per_camber * camber_bias + out_per_caster * out_per_caster * caster_bias)
            as bias_out_sd_mm,
        sqrt(aft_per_camber * aft_per_camber * camber_bias + aft_per_caster * aft_per_caster * caster_bias)
            as bias_aft_sd_mm,
        beyond.out as beyond_out, beyond.aft as beyond_aft,
        offset_out_mm * beyond.out + offset_aft_mm * beyond.aft + limit_past_mm as limit_mm,
        source_file, source_line
    from censored
),
middles as (
    select chassis, target, median(need_out_mm) as middle_out_mm, median(need_aft_mm) as middle_aft_mm,
        5 * greatest(1.4826 * mad(need_out_mm), sqrt(median(noise_oo_mm2))) as far_out_mm,
        5 * greatest(1.4826 * mad(need_aft_mm), sqrt(median(noise_aa_mm2))) as far_aft_mm
    from offsets
    group by chassis, target
    having count(*) >= 8
)
select
    offsets.* exclude (source_file, source_line),
    coalesce(abs(need_out_mm - middle_out_mm) > far_out_mm, false)
        or coalesce(abs(need_aft_mm - middle_aft_mm) > far_aft_mm, false) as set_apart,
    source_file, source_line
from offsets
left join middles using (chassis, target)
