-- Rows that a finding names, against what is expected of them. Where the finding is about one angle, that one, and what its check
-- compares with; else the angle that lies furthest off the other visits of the corner, both at the original bearing place. limit_deg: 1.96
-- standard deviations of the difference. What lies furthest off of each corner, 12 at most. limits_off: in limits; shown: cut at 6.
with
named as (
    select *
    from suspects
    where coalesce(p_mistake, 0) >= 0.5 and explained_by is null and vehicle is not null
),
levels as (
    select
        vehicle,
        corner,
        visit,
        unnest([
            {
                'angle': 'camber', 'read_deg': camber_level_deg, 'expected_deg': camber_other_deg,
                'var_deg2': camber_level_var_deg2 + camber_other_var_deg2, 'visit_count': camber_other_count
            },
            {
                'angle': 'caster', 'read_deg': caster_level_deg, 'expected_deg': caster_other_deg,
                'var_deg2': caster_level_var_deg2 + caster_other_var_deg2, 'visit_count': caster_other_count
            },
            {
                'angle': 'SAI', 'read_deg': sai_level_deg, 'expected_deg': sai_other_deg,
                'var_deg2': sai_level_var_deg2 + sai_other_var_deg2, 'visit_count': sai_other_count
            }
        ], recursive := true)
    from check_corners
),
drawn as (
    select
        levels.* exclude (var_deg2),
        1.96 * sqrt(var_deg2) as limit_deg,
        format('{} other visit{}', visit_count, case when visit_count > 1 then 's' else '' end) as expected_of
    from levels
    where var_deg2 > 0 and visit_count > 0
        and exists (
            select 1
            from named
            where limit_deg is null
                and named.vehicle = levels.vehicle
                and (named.visit is null or named.visit = levels.visit)
                and (named.corner is null or named.corner = levels.corner)
                and (named.angle is null or named.angle = levels.angle)
        )
    union all by name
    select vehicle, corner, visit, angle, read_deg, expected_deg, limit_deg, expected_of
    from named
),
judged as (
    select *, read_deg - expected_deg as off_deg, off_deg / limit_deg as limits_off
    from drawn
    where off_deg is not null and limit_deg > 0
    qualify row_number() over (partition by vehicle, corner order by abs(limits_off) desc, visit, angle) = 1
)
select
    vehicle,
    corner,
    visit,
    angle,
    concat_ws(' ', vehicle, corner) as label,
    read_deg,
    expected_deg,
    expected_of,
    off_deg,
    limit_deg,
    limits_off,
    greatest(least(limits_off, 6), -6) as shown,
    0::double as from_zero,
    case when off_deg < 0 then '−' else '+' end || format('{:.2f}° {}', abs(off_deg), angle) as told
from judged
order by abs(limits_off) desc, vehicle, corner, visit
limit 12
