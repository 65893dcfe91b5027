-- Errors in tolerances, counted in steps of a quarter from -3 to 3; what lies beyond is in one step of its own on either side, drawn
-- apart (shown_*). Outer steps of an angle are drawn with it; misses at the end of the scale apart.
with
stepped as (
    select
        response,
        end_of_scale,
        least(greatest(floor(error_deg / tol_deg / 0.25), -13), 12) as step
    from judged_settings(1.65)
    where tol_deg > 0 and response in ('camber_deg', 'caster_deg', 'toe_deg')
)
select
    response,
    case when end_of_scale then 'end of the scale' else 'set' end as kind,
    case
        when step < -12 then 'under -3'
        when step > 11 then '3 and more'
        else format('{:g} to {:g}', step * 0.25, (step + 1) * 0.25)
    end as tolerances,
    case when step < -12 then -3.6 when step > 11 then 3.2 else step * 0.25 end as shown_from,
    case when step < -12 then -3.2 when step > 11 then 3.6 else (step + 1) * 0.25 end as shown_to,
    count(*) as setting_count
from stepped
group by response, end_of_scale, step
order by response, step, kind
