-- What may go on at each step from the seat upward: one row per kit, shaft, step and part; part NULL = nothing of that role.
-- Spacers stand at step NULL. Where the box has required parts of a role that go on, one of them must; a nut always, and a bearing
-- where the box has any. The spring plate may be the car's own where keep_plate says so or no required one goes on; that one adds
-- plate_mm (NULL = not told, taken as 0). number: of the part within its step, 0 = nothing. defect: why no
-- stack with this choice is sound, and what is lacking. changed: as changed_rules takes it.
create or replace temp macro stack_options(asked_kit, asked_shaft, keep_plate, plate_mm, changed) as table
with
rule as (
    select *, case when stack_count = 1 then 'one stack' else format('{} stacks', stack_count) end as stack_words
    from changed_rules(changed)
),
parts as (
    select parts.*, part_count // stack_count as usable_count, fits and usable_count > 0 as usable
    from stack_parts() as parts
    cross join rule
    where coalesce(kit = asked_kit, true) and coalesce(shaft = asked_shaft, true)
),
steps as (
    select kit, shaft, seat_diameter_mm, has_bearings, unnest(list_append(stack_roles(), 'spacer')) as role
    from stack_shafts()
    where coalesce(kit = asked_kit, true) and coalesce(shaft = asked_shaft, true)
),
situations as (
    select
        steps.kit,
        steps.shaft,
        seat_diameter_mm,
        steps.role,
        list_position(stack_roles(), steps.role) as step,
        steps.role = 'spring_plate' and keep_plate as kept,
        count(*) filter (usable) > 0 as any_usable,
        count(*) filter (required) > 0 as demanded,
        count(*) filter (required and usable) > 0 as demand_met,
        count(*) filter (fits) > 0 as any_fits,
        count(*) filter (required and fits) > 0 as demanded_fits,
        string_agg(part, ', ' order by source_line, part) filter (required) as demanded_parts,
        case when steps.role = 'upper_adapter' then 'an ' else 'a ' end || replace(steps.role, '_', ' ') as role_name,
        case steps.role
            when 'bearing' then ' (one that adapters hold on it has a blank fits_diameter_mm)'
            when 'nut' then ' (the diameter that it fits is that of the seat, not that of the thread)'
            else ''
        end as about_bore,
        count(part) = 0 as none_there,
        steps.role = 'nut' or (steps.role = 'bearing' and has_bearings) as needed
    from steps
    left join parts using (kit, shaft, role)
    group by steps.kit, steps.shaft, seat_diameter_mm, steps.role, has_bearings
),
judged as (
    select
        kit,
        shaft,
        role,
        step,
        kept,
        demand_met and not kept as forced,
        not kept and (demand_met or (needed and any_usable)) as never_empty,
        case
            when kept or demand_met then null
            when demanded and demanded_fits then {
                'text': format('{} is required, and the box holds too few for {}', demanded_parts, stack_words),
                'lack': format('{} for {}', demanded_parts, stack_words)
            }
            when demanded then {
                'text': format(
                    '{} is required, but does not go on the {:g} mm shaft{}', demanded_parts,
                    seat_diameter_mm, about_bore
                ),
                'lack': format('{} for a {:g} mm shaft in place of {}', role_name, seat_diameter_mm, demanded_parts)
            }
            when needed and not any_usable then {
                'text': case
                    when none_there then format('the box has no {}', role)
                    when any_fits then format('the box holds too few parts of role {} for {}', role, stack_words)
                    else format('no {} of the box goes on the {:g} mm shaft{}', role, seat_diameter_mm, about_bore)
                end,
                'lack': format('{} for a {:g} mm shaft', role_name, seat_diameter_mm)
            }
        end as defect
    from situations
    cross join rule
)
select
    kit,
    shaft,
    judged.role,
    judged.step,
    row_number() over (partition by kit, shaft, judged.role order by source_line, part) as number,
    part,
    height_nm,
    tol_nm,
    drop_nm,
    usable_count,
    parts.required,
    source_line,
    never_empty,
    defect
from judged
inner join parts using (kit, shaft, role)
where usable and not kept and (parts.required or not forced or judged.role = 'spacer')
union all
select
    kit,
    shaft,
    role,
    step,
    0,
    null,
    case when role = 'spring_plate' then cast(micro(coalesce(plate_mm, 0)) as bigint) else 0 end,
    case when role = 'spring_plate' and plate_mm is not null then cast(micro(spacer_tol_mm) as bigint) else 0 end,
    null,
    0,
    false,
    null,
    false,
    defect
from judged
cross join rule
where not never_empty or role = 'spacer';
