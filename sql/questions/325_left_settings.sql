-- The settings that a car was left at, one row per install or adjust visit with an after and front corner; visit_order counts visits
-- from the newest. *_deg: what was read less the bias of who read it; *_u_deg: standard uncertainty of the true angle. verdict: of all
-- that the target judges of this corner, with the guard band of audit: inside, outside, undecided; NULL = not set to a target that can
-- be judged. stands_now: kit, plate, bolt position and marks are those of the newest reading.
create or replace temp macro left_settings(asked_vehicle) as table
with
lefts as (
    select *, max(ordered_ts) over (partition by visit) as visit_ts
    from settings
    where vehicle = asked_vehicle and left_behind
),
judged as (
    select
        visit,
        corner,
        bool_and(hit) as hit,
        case
            when bool_or(verdict = 'outside') then 'outside'
            when bool_and(verdict = 'inside') then 'inside'
            else 'undecided'
        end as verdict
    from judged_settings(1.65)
    where vehicle = asked_vehicle and corner in ('FL', 'FR')
    group by visit, corner
),
marked as (
    select visit, corner, mark_1, mark_2
    from states
    where vehicle = asked_vehicle and phase = 'after'
),
scaled as (
    select kit, bool_or(two_scales) as two_scales from plates group by kit
),
present as (
    select
        corner,
        {
            'kit': kit, 'hand': plate_hand, 'index': plate_index, 'mark_1': mark_1, 'mark_2': mark_2,
            'out': offset_out_mm, 'aft': offset_aft_mm
        } as setting
    from present_corners
    where vehicle = asked_vehicle
)
select
    vehicle,
    chassis,
    lefts.visit,
    visit_kind,
    dense_rank() over (order by visit_ts desc nulls last, lefts.visit desc) as visit_order,
    strftime(measured_ts, '%Y-%m-%d') as left_on,
    lefts.corner,
    lefts.kit,
    plate_hand,
    plate_index,
    mark_1,
    case when two_scales then mark_2 end as mark_2,
    offset_out_mm,
    offset_aft_mm,
    gauge,
    technician,
    target,
    hit,
    verdict,
    camber_deg - camber_bias_deg as camber_deg,
    camber_u_deg,
    camber_apart_u_deg,
    caster_deg - caster_bias_deg as caster_deg,
    caster_u_deg,
    caster_apart_u_deg,
    toe_deg - toe_bias_deg as toe_deg,
    toe_u_deg,
    toe_apart_u_deg,
    present.setting is not distinct from {
        'kit': lefts.kit, 'hand': plate_hand, 'index': plate_index, 'mark_1': mark_1, 'mark_2': mark_2,
        'out': offset_out_mm, 'aft': offset_aft_mm
    } as stands_now,
    source_file,
    source_line
from lefts
inner join marked using (visit, corner)
left join judged using (visit, corner)
left join present using (corner)
left join scaled using (kit);
