-- Changes without a gauge are judged together with those of the other sites.
with
read as (
    select
        vehicle,
        corner,
        visit,
        unnest([
            {
                'response': 'camber_deg', 'change_deg': camber_change_deg,
                'before_count': before_camber_count, 'after_count': after_camber_count
            },
            {
                'response': 'caster_deg', 'change_deg': caster_change_deg,
                'before_count': before_caster_count, 'after_count': after_caster_count
            },
            {
                'response': 'toe_deg', 'change_deg': toe_change_deg,
                'before_count': before_toe_count, 'after_count': after_toe_count
            },
            {
                'response': 'sai_deg', 'change_deg': sai_change_deg,
                'before_count': before_sai_count, 'after_count': after_sai_count
            }
        ], recursive := true)
    from session_pairs
    where before_gauge is null and after_gauge is null
),
corners as (
    select
        list_sort(list({
            'response': response,
            'change_deg': change_deg,
            'before_count': before_count,
            'after_count': after_count
        })) as changes
    from read
    where change_deg is not null
    group by vehicle, corner, visit
),
numbered as (
    select row_number() over (order by changes) as cell, changes
    from corners
)
select
    cell,
    unnest(changes, recursive := true)
from numbered
