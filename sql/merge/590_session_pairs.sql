-- Changes without a gauge, judged over all sites.
select
    site || ' ' || cell as vehicle,
    'FL' as corner,
    'session' as visit,
    max(change_deg) filter (where response = 'camber_deg') as camber_change_deg,
    max(change_deg) filter (where response = 'caster_deg') as caster_change_deg,
    max(change_deg) filter (where response = 'toe_deg') as toe_change_deg,
    max(change_deg) filter (where response = 'sai_deg') as sai_change_deg,
    max(before_count) filter (where response = 'camber_deg') as before_camber_count,
    max(after_count) filter (where response = 'camber_deg') as after_camber_count,
    max(before_count) filter (where response = 'caster_deg') as before_caster_count,
    max(after_count) filter (where response = 'caster_deg') as after_caster_count,
    max(before_count) filter (where response = 'toe_deg') as before_toe_count,
    max(after_count) filter (where response = 'toe_deg') as after_toe_count,
    max(before_count) filter (where response = 'sai_deg') as before_sai_count,
    max(after_count) filter (where response = 'sai_deg') as after_sai_count
from shared
where kind = 'change'
group by site, cell
