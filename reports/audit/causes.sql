-- Missed settings (as read) by what kept them from the target, one row per angle and cause.
with
missed as (
    select * from judged_settings(1.65) where not hit and response in ('camber_deg', 'caster_deg', 'toe_deg')
)
select
    response,
    case
        when end_of_scale then 'end of the scale'
        when response = 'toe_deg' and toe_state <> 'set' then 'toe not set again'
        when far_off then 'mistake of writing'
        when verdict = 'undecided' then 'too near to tell'
        when reach = 'another index' then 'another index would do'
        when reach = 'no index' then 'no index would do'
        else 'within reach'
    end as cause,
    count(*) as setting_count
from missed
left join toe_settings using (vehicle, corner, visit)
left join setting_reach using (vehicle, corner, visit)
group by response, cause
order by response, setting_count desc, cause
