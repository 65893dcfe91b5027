-- title: Moves of a vehicle that fit another unit or sign of the offsets
-- likely: offsets in inches, marks and millimetres mixed up, or a sign lost; the finding says which fits
-- mend: compare the offsets and camber of these rows with the sheet; correct them and load them with --replace
-- explains: copied_rows, swapped_sides, wrong_placement, lost_camber_sign, included_angle_jump, downweighted_moves
-- Each explanation is compared with "as written" on all moves of the vehicle; units also on each visit where the vehicle as a
-- whole shows nothing (signs of one visit: swapped_sides, wrong_placement, lost_camber_sign). Prior odds (from memory): inches 1 : 250, marks as mm 1 : 120, mm as marks 1 : 250, both signs 1 : 160, one
-- sign 1 : 500, camber's sign 1 : 250. Slopes come from the chassis' other vehicles; one grossly wrong move in ten is
-- allowed for.
with
sources as (
    select
        vehicle,
        corner,
        visit,
        phase,
        min(offset_source) as source,
        max(offset_source) as last_source,
        min(kit) as kit,
        case when min(gauge) = max(gauge) then min(gauge) end as gauge
    from placements
    group by vehicle, corner, visit, phase
),
pitches as (
    select kit, chassis, pitch_mm from plates
),
described as (
    select
        moves.*,
        case
            when later.source = 'measured' and earlier.source = 'measured'
                and later.last_source = 'measured' and earlier.last_source = 'measured' then 'measured'
            when later.source = 'marks' and earlier.source = 'marks'
                and later.last_source = 'marks' and earlier.last_source = 'marks' then 'marks'
        end as source,
        coalesce(own.pitch_mm, common.pitch_mm) as pitch_mm,
        later.gauge
    from moves
    inner join sources as earlier
        on earlier.vehicle = moves.vehicle and earlier.corner = moves.corner
        and earlier.visit = moves.visit and earlier.phase = moves.from_phase
    inner join sources as later
        on later.vehicle = moves.vehicle and later.corner = moves.corner
        and later.visit = moves.visit and later.phase = moves.to_phase
    left join pitches as own on own.kit = later.kit and own.chassis = moves.chassis
    left join pitches as common on common.kit = later.kit and common.chassis is null
),
explanations as (
    select *
    from (
        values
            ('as written', null, cast(0.97 as double), ''),
            ('inches', null, 0.004, 'the written offsets times 25.4: they look like inches'),
            ('marks as mm', 'measured', 0.008, 'the written offsets times the mark pitch: they look like marks'),
            ('mm as marks', 'marks', 0.004, 'the written marks taken as millimetres'),
            ('signs', null, 0.006, 'the written offsets with their signs reversed'),
            ('sign out', 'measured', 0.002, 'offset_out_mm with its sign reversed'),
            ('sign aft', 'measured', 0.002, 'offset_aft_mm with its sign reversed'),
            ('camber sign', null, 0.004, 'camber with its sign reversed')
    ) as explanations(explanation, needs, prior, words)
),
explained as (
    select
        described.*,
        explanation,
        prior,
        words,
        case explanation
            when 'inches' then 25.4
            when 'marks as mm' then pitch_mm
            when 'mm as marks' then 1 / pitch_mm
            when 'signs' then -1
            when 'sign out' then -1
            else 1
        end as factor_out,
        case explanation
            when 'inches' then 25.4
            when 'marks as mm' then pitch_mm
            when 'mm as marks' then 1 / pitch_mm
            when 'signs' then -1
            when 'sign aft' then -1
            else 1
        end as factor_aft,
        case
            when explanation = 'camber sign' and response = 'camber_deg' then change_deg - 2 * read_change_deg
            else change_deg
        end as explained_deg
    from described
    inner join explanations
        on (needs is null or needs = source)
        and (explanation not in ('marks as mm', 'mm as marks') or abs(pitch_mm - 1) > 0.3)
),
compared as (
    select
        explained.*,
        explained_deg - slope_out * factor_out * move_out_mm - slope_aft * factor_aft * move_aft_mm as residual_deg,
        2 * sd_deg * sd_deg / weight + predicted_var(
            check_slopes,
            factor_out * move_out_mm,
            factor_aft * move_aft_mm,
            read_error_oo_mm2 * factor_out * factor_out,
            read_error_oa_mm2 * factor_out * factor_aft,
            read_error_aa_mm2 * factor_aft * factor_aft
        ) as residual_var
    from explained
    inner join check_slopes
        on check_slopes.chassis = explained.chassis
        and check_slopes.vehicle = explained.vehicle
        and check_slopes.response = explained.response
    inner join check_noise
        on check_noise.chassis = explained.chassis
        and check_noise.gauge is not distinct from explained.gauge
        and check_noise.response = explained.response
),
by_move as (
    select
        chassis,
        vehicle,
        visit,
        corner,
        explanation,
        any_value(prior) as prior,
        any_value(words) as words,
        log_mixed(
            sum(log_normal(residual_deg, residual_var) order by response),
            sum(log_gross(residual_deg, residual_var) order by response)
        ) as log_likelihood,
        min(source_file) as source_file,
        min(source_line) as source_line
    from compared
    group by chassis, vehicle, visit, corner, from_phase, to_phase, explanation
),
totals as (
    select
        chassis,
        vehicle,
        visit,
        explanation,
        any_value(words) as words,
        ln(any_value(prior) / case when visit is null then 1 else 2 end)
            + sum(log_likelihood order by by_move.visit, corner, log_likelihood) as log_weight,
        count(*) as move_count,
        count(distinct by_move.visit) as visit_count,
        min(source_file) as source_file,
        arg_min(source_line, (source_file, source_line)) as source_line
    from by_move
    group by grouping sets ((chassis, vehicle, explanation), (chassis, vehicle, visit, explanation))
),
-- An explanation that some of the moves cannot have is compared on fewer moves: not comparable, so left out.
comparable as (
    select *
    from totals
    qualify move_count = max(move_count) over (partition by chassis, vehicle, visit)
),
weighed as (
    select *, exp(log_weight - peak) / sum(exp(log_weight - peak)) over same as p
    from (select *, max(log_weight) over (partition by chassis, vehicle, visit) as peak from comparable)
    window same as (partition by chassis, vehicle, visit order by explanation rows between unbounded preceding and unbounded following)
),
found as (
    select * from weighed where explanation <> 'as written' and p >= 0.5
)
select
    chassis,
    vehicle,
    cast(null as varchar) as corner,
    visit,
    format('{} fit {}', case when move_count = 1 then 'the move' else format('the {} moves', move_count) end, words) as finding,
    p as p_mistake,
    source_file,
    source_line
from found
where visit is null
    or explanation in ('inches', 'marks as mm', 'mm as marks') and not exists (select 1 from found as whole where whole.vehicle = found.vehicle and whole.chassis = found.chassis and whole.visit is null)
