-- title: Moves of a vehicle that fit another unit or sign of the offsets
-- likely: offsets in inches, marks and millimetres mixed up, or a sign lost; the finding says which fits
-- mend: compare the offsets and camber of these rows with the sheet; correct them and load them with --replace
-- explains: copied_rows, swapped_sides, wrong_placement, lost_camber_sign, included_angle_jump, downweighted_moves
-- Each explanation is compared with "as written" on all moves of the vehicle; units also on each visit where the vehicle as a
-- whole shows nothing (signs of one visit: swapped_sides, wrong_placement, lost_camber_sign). Prior odds (from memory): inches 1 : 250, marks as mm 1 : 120, mm as marks 1 : 250, both signs 1 : 160, one
-- sign 1 : 500, camber's sign 1 : 250. Slopes come from the chassis' other vehicles; one grossly wrong move in ten is
-- allowed for.
with
-- Where the offsets of the states of a corner in a visit come from.
sources as (
    select
        vehicle,
        corner,
        visit,
        bool_and(offset_source = 'measured') filter (where phase = 'before') as before_measured,
        bool_and(offset_source = 'marks') filter (where phase = 'before') as before_marks,
        bool_and(offset_source = 'measured') filter (where phase = 'moved') as moved_measured,
        bool_and(offset_source = 'marks') filter (where phase = 'moved') as moved_marks,
        bool_and(offset_source = 'measured') filter (where phase = 'after') as after_measured,
        bool_and(offset_source = 'marks') filter (where phase = 'after') as after_marks,
        min(kit) filter (where phase = 'moved') as moved_kit,
        min(gauge) filter (where phase = 'moved') as moved_gauge,
        max(gauge) filter (where phase = 'moved') as moved_last_gauge,
        min(kit) filter (where phase = 'after') as after_kit,
        min(gauge) filter (where phase = 'after') as after_gauge,
        max(gauge) filter (where phase = 'after') as after_last_gauge
    from placements
    where corner in ('FL', 'FR')
    group by vehicle, corner, visit
),
placed as (
    select
        state_pairs.*,
        case to_phase when 'moved' then moved_kit else after_kit end as kit,
        case to_phase
            when 'moved' then case when moved_gauge = moved_last_gauge then moved_gauge end
            else case when after_gauge = after_last_gauge then after_gauge end
        end as gauge,
        case
            when case from_phase when 'before' then before_measured else moved_measured end
                and case to_phase when 'moved' then moved_measured else after_measured end then 'measured'
            when case from_phase when 'before' then before_marks else moved_marks end
                and case to_phase when 'moved' then moved_marks else after_marks end then 'marks'
        end as source
    from (select * from state_pairs where kit_change is null) as state_pairs
    inner join sources using (vehicle, corner, visit)
),
pitches as (
    select kit, chassis, pitch_mm from plates
),
described as (
    select
        placed.*,
        coalesce(own.pitch_mm, common.pitch_mm) as pitch_mm,
        check_slopes.* exclude (chassis, vehicle),
        2 * camber_sd_deg * camber_sd_deg / nullif(camber_weight, 0) as camber_noise_var,
        2 * caster_sd_deg * caster_sd_deg / nullif(caster_weight, 0) as caster_noise_var,
        2 * toe_sd_deg * toe_sd_deg / nullif(toe_weight, 0) as toe_noise_var,
        2 * sai_sd_deg * sai_sd_deg / nullif(sai_weight, 0) as sai_noise_var
    from placed
    inner join check_slopes on check_slopes.chassis = placed.chassis and check_slopes.vehicle = placed.vehicle
    inner join check_noise on check_noise.chassis = placed.chassis
        and check_noise.gauge is not distinct from placed.gauge
    left join pitches as own on own.kit = placed.kit and own.chassis = placed.chassis
    left join pitches as common on common.kit = placed.kit and common.chassis is null
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
            ('sign out', 'measured', 0.002, 'offset outboard with its sign reversed'),
            ('sign aft', 'measured', 0.002, 'offset rearward with its sign reversed'),
            ('camber sign', null, 0.004, 'camber with its sign reversed')
    ) as explanations(explanation, needs, prior, words)
),
explained as (
    select
        described.*,
        explanation,
        prior,
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
        case when explanation = 'camber sign' then camber_change_deg - 2 * camber_read_change_deg
            else camber_change_deg end
            as explained_camber_deg
    from described
    inner join explanations
        on (needs is null or needs = source)
        and (explanation not in ('marks as mm', 'mm as marks') or abs(pitch_mm - 1) > 0.3)
),
residuals as (
    select
        * exclude (move_out_mm, move_aft_mm, read_error_oo_mm2, read_error_oa_mm2, read_error_aa_mm2),
        move_of(
            factor_out * move_out_mm,
            factor_aft * move_aft_mm,
            read_error_oo_mm2 * factor_out * factor_out,
            read_error_oa_mm2 * factor_out * factor_aft,
            read_error_aa_mm2 * factor_aft * factor_aft
        ) as move,
        slope_of(
            camber_slope_out, camber_slope_aft, camber_var_out, camber_var_aft, camber_cov_out_aft
        ) as camber_slope,
        slope_of(
            caster_slope_out, caster_slope_aft, caster_var_out, caster_var_aft, caster_cov_out_aft
        ) as caster_slope,
        slope_of(toe_slope_out, toe_slope_aft, toe_var_out, toe_var_aft, toe_cov_out_aft) as toe_slope,
        slope_of(sai_slope_out, sai_slope_aft, sai_var_out, sai_var_aft, sai_cov_out_aft) as sai_slope,
        residual(explained_camber_deg, camber_slope, move) as camber_deg,
        camber_noise_var + move_var(camber_slope, move) as camber_var,
        residual(caster_change_deg, caster_slope, move) as caster_deg,
        caster_noise_var + move_var(caster_slope, move) as caster_var,
        residual(toe_change_deg, toe_slope, move) as toe_deg,
        toe_noise_var + move_var(toe_slope, move) as toe_var,
        residual(sai_change_deg, sai_slope, move) as sai_deg,
        sai_noise_var + move_var(sai_slope, move) as sai_var
    from explained
),
by_move as (
    select
        chassis,
        vehicle,
        visit,
        explanation,
        prior,
        log_mixed_four(
            camber_deg, camber_var, caster_deg, caster_var, toe_deg, toe_var, sai_deg, sai_var
        ) as log_likelihood
    from residuals
    where coalesce(camber_deg, caster_deg, toe_deg, sai_deg) is not null
),
totals as materialized (
    select
        chassis,
        vehicle,
        visit,
        explanation,
        ln(any_value(prior)) + exact_sum(log_likelihood) as log_weight,
        count(*) as move_count
    from by_move
    group by grouping sets ((chassis, vehicle, explanation), (chassis, vehicle, visit, explanation))
),
-- Where another explanation is likelier than the record as written.
doubted as (
    select chassis, vehicle, visit
    from totals
    group by chassis, vehicle, visit
    having max(log_weight) filter (where explanation <> 'as written') >= max(log_weight)
        filter (where explanation = 'as written')
),
-- An explanation that some of the moves cannot have is compared on fewer moves: not comparable, so left out.
comparable as (
    select totals.*
    from totals
    inner join doubted
        on doubted.chassis = totals.chassis
        and doubted.vehicle = totals.vehicle
        and doubted.visit is not distinct from totals.visit
    qualify move_count = max(move_count) over (partition by totals.chassis, totals.vehicle, totals.visit)
),
weighed as (
    select *, exp(log_weight - peak) / sum(exp(log_weight - peak)) over same as p
    from (select *, max(log_weight) over (partition by chassis, vehicle, visit) as peak from comparable)
    window same as (
        partition by chassis, vehicle, visit order by explanation
        rows between unbounded preceding and unbounded following
    )
),
found as (
    select weighed.*, words
    from weighed
    inner join explanations using (explanation)
    where explanation <> 'as written' and p >= 0.5
),
named as (
    select *
    from found
    where visit is null
        or explanation in ('inches', 'marks as mm', 'mm as marks')
            and not exists (
                select 1 from found as whole
                where whole.vehicle = found.vehicle and whole.chassis = found.chassis and whole.visit is null
            )
),
first_lines as (
    select chassis, vehicle, visit, min(source_file) as source_file,
        arg_min(source_line, (source_file, source_line)) as source_line
    from (select * from state_pairs where kit_change is null)
    where coalesce(camber_change_deg, caster_change_deg, toe_change_deg, sai_change_deg) is not null
    group by grouping sets ((chassis, vehicle), (chassis, vehicle, visit))
)
select
    named.chassis,
    named.vehicle,
    cast(null as varchar) as corner,
    named.visit,
    format(
        '{} fit {}', case when move_count = 1 then 'the move' else format('the {} moves', move_count) end, words
    ) as finding,
    p as p_mistake,
    source_file,
    source_line
from named
inner join first_lines
    on first_lines.chassis = named.chassis
    and first_lines.vehicle = named.vehicle
    and first_lines.visit is not distinct from named.visit
