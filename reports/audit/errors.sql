-- Errors in tolerances, counted in steps of a quarter from -3 to 3; what lies beyond is in the outer steps. Outer steps of an angle
-- are drawn with it; misses at the end of the scale apart.
with
stepped as (
    select
        response,
        end_of_scale,
        least(greatest(floor(error_deg / tol_deg / 0.25), -12), 11) as step
    from judged_settings(1.65)
    where tol_deg > 0 and response in ('camber_deg', 'caster_deg', 'toe_deg')
)
select
    response,
    case when end_of_scale then 'end of the scale' else 'set' end as kind,
    step * 0.25 as from_tolerances,
    (step + 1) * 0.25 as to_tolerances,
    count(*) as setting_count
from stepped
group by response, end_of_scale, step
order by response, step, kind
