-- title: Left and right of a visit that fit better exchanged
-- likely: the columns or rows of the left and the right front were swapped, in the whole visit or in one phase
-- mend: compare the rows of FL and FR of that visit with the sheet; exchange them and load them with --replace
-- explains: wrong_placement, lost_camber_sign, included_angle_jump, downweighted_moves
-- Compared on how far the angles moved with the offsets of their own side, and on what each side read in other visits. Prior
-- odds (from memory): whole visit 1 : 160, one phase 1 : 250. Where both sides are alike nothing can be told, and nothing is.
with
fronts as (
    select
        *,
        read_deg + toe_part_deg as angle_deg,
        slope_out * offset_out_mm + slope_aft * offset_aft_mm as offset_deg
    from check_states
    where corner in ('FL', 'FR') and offset_out_mm is not null
),
-- One row per side, with the angle that the other side read.
sides as (
    select own.*, other.angle_deg as other_angle_deg
    from fronts as own
    inner join fronts as other
        on other.vehicle = own.vehicle
        and other.visit = own.visit
        and other.phase = own.phase
        and other.response = own.response
        and other.corner <> own.corner
),
visits as (
    select vehicle, visit, list_sort(list_distinct(list(phase))) as phases from sides group by vehicle, visit
),
explanations as (
    select vehicle, visit, phases, 'none' as swapped, cast(0.99 as double) as prior from visits
    union all
    select vehicle, visit, phases, 'all' as swapped, 0.006 as prior from visits
    union all
    select vehicle, visit, phases, unnest(phases) as swapped, 0.004 / len(phases) as prior from visits where len(phases) > 1
),
explained as (
    select
        sides.*,
        swapped,
        case when swapped in ('all', phase) then other_angle_deg else angle_deg end - offset_deg as level_deg
    from sides
    inner join explanations using (vehicle, visit)
),
pairs as (
    select
        later.vehicle,
        later.visit,
        later.swapped,
        later.response,
        later.corner || earlier.phase || later.phase as comparison,
        later.level_deg - earlier.level_deg as residual_deg,
        later.read_var_deg2 + earlier.read_var_deg2 + predicted_var(
            later,
            later.offset_out_mm - earlier.offset_out_mm,
            later.offset_aft_mm - earlier.offset_aft_mm,
            later.read_error_oo_mm2 + earlier.read_error_oo_mm2,
            later.read_error_oa_mm2 + earlier.read_error_oa_mm2,
            later.read_error_aa_mm2 + earlier.read_error_aa_mm2
        ) as residual_var
    from explained as later
    inner join explained as earlier
        on earlier.vehicle = later.vehicle
        and earlier.visit = later.visit
        and earlier.corner = later.corner
        and earlier.response = later.response
        and earlier.swapped = later.swapped
        and earlier.kit is not distinct from later.kit
        and earlier.phase_order < later.phase_order
),
against_other_visits as (
    select
        explained.vehicle,
        explained.visit,
        swapped,
        explained.response,
        explained.corner as comparison,
        exact_mean(explained.level_deg) - any_value(other_deg) as residual_deg,
        exact_mean(read_var_deg2) / count(*) + any_value(other_var_deg2) as residual_var
    from explained
    inner join check_levels using (vehicle, corner, visit, response)
    where other_count > 0
    group by explained.vehicle, explained.visit, swapped, explained.response, explained.corner
),
comparisons as (
    select
        vehicle,
        visit,
        swapped,
        comparison,
        log_mixed(
            sum(log_normal(residual_deg, residual_var) order by response),
            sum(log_gross(residual_deg, residual_var) order by response)
        ) as log_likelihood
    from (select * from pairs union all select * from against_other_visits)
    group by vehicle, visit, swapped, comparison
),
weighed as (
    select
        vehicle,
        visit,
        swapped,
        phases,
        -- Three pairs of three states hold the information of two.
        ln(any_value(prior)) + sum(
            log_likelihood * case when len(phases) = 3 and len(comparison) > 2 then 2.0 / 3 else 1 end order by comparison
        ) as log_weight
    from explanations
    inner join comparisons using (vehicle, visit, swapped)
    group by vehicle, visit, swapped, phases
),
likely as (
    select *, exp(log_weight - peak) / sum(exp(log_weight - peak)) over same_visit as p
    from (select *, max(log_weight) over (partition by vehicle, visit) as peak from weighed)
    window same_visit as (partition by vehicle, visit order by swapped rows between unbounded preceding and unbounded following)
),
judged as (
    select
        vehicle,
        visit,
        any_value(phases) as phases,
        1 - max(p) filter (where swapped = 'none') as p_mistake,
        list(swapped order by swapped) filter (where swapped <> 'none' and p > 0.1) as candidates
    from likely
    group by vehicle, visit
)
select
    any_value(sides.chassis) as chassis,
    judged.vehicle,
    cast(null as varchar) as corner,
    judged.visit,
    'the angles of FL and FR fit their offsets and other visits when exchanged in '
        || case
            when candidates = ['all'] then 'all phases'
            when len(candidates) = 1 then format('the {} rows', candidates[1])
            else format('some phase ({}: which one cannot be told)', array_to_string(candidates, ', '))
        end as finding,
    judged.p_mistake,
    min(source_file) as source_file,
    arg_min(source_line, (source_file, source_line)) as source_line
from judged
inner join sides using (vehicle, visit)
where p_mistake >= 0.5 and len(candidates) > 0
group by judged.vehicle, judged.visit, candidates, judged.p_mistake
