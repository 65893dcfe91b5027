-- title: What an audit says beside its rows, counted
-- grain: one row per chassis, subject and what was found
-- source: target_settings, settings, chassis_targets, setting_reach, toe_settings
-- missing: the place is NULL for subject reach
-- column chassis VARCHAR: platform code
-- column subject VARCHAR: not judged (settings that took no part), reach (corners that missed camber or caster), toe (see toe_settings)
-- column found VARCHAR: the reason, reach or toe_state
-- column found_count BIGINT: settings or corners
-- column first_file VARCHAR: file of the first of them
-- column first_line INTEGER: line in that file
with
unjudged as (
    select chassis, not_judged as found, source_file, source_line
    from target_settings
    where not_judged is not null
    union all
    select
        settings.chassis,
        case
            when settings.target is null then 'no target is named'
            else 'target ' || settings.target || ' is not in the targets table for ' || settings.chassis
        end as found,
        source_file,
        source_line
    from settings
    left join chassis_targets on chassis_targets.chassis = settings.chassis and chassis_targets.target = settings.target
    where left_behind and chassis_targets.target is null
),
missed as (
    select distinct vehicle, corner, visit
    from target_settings
    where not_judged is null and response in ('camber_deg', 'caster_deg') and not is_hit(error_deg, tol_deg)
),
counted as (
    select chassis, 'not judged' as subject, found, count(*) as found_count,
        min({'file': source_file, 'line': source_line}) as first
    from unjudged
    group by chassis, found
    union all
    select chassis, 'reach' as subject, reach as found, count(*) as found_count, null as first
    from setting_reach
    semi join missed using (vehicle, corner, visit)
    where reach is not null
    group by chassis, reach
    union all
    select chassis, 'toe' as subject, toe_state as found, count(*) as found_count,
        min({'file': source_file, 'line': source_line}) as first
    from toe_settings
    where toe_state is not null
    group by chassis, toe_state
)
select chassis, subject, found, found_count, first.file as first_file, first.line as first_line
from counted
