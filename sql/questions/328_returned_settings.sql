-- Settings of front corners that came back to marks that they had been taken away from, one row per setting and angle that was read;
-- returned: the settings of one corner at one kit, hand, index and marks that one person read with one gauge, whose bias so cancels but
-- for what it walked, which is taken off, with at least one setting elsewhere between each two, and nothing between them that a file of
-- changes names or that drift takes for a bent or shifted part. Settings at the same marks as the one before count once. deg: camber
-- at zero toe where toe and caster were read; var_deg2: of repeats, and of set-ups where readings tell of them. asked_kit: NULL = all.
create or replace temp macro returned_settings(asked_kit) as table
with
marked as (
    select
        settings.*,
        coalesce(plate_hand, case corner when 'FL' then 'left' else 'right' end) as hand,
        {
            'kit': kit, 'hand': coalesce(plate_hand, case corner when 'FL' then 'left' else 'right' end),
            'index': plate_index, 'mark_1': mark_1, 'mark_2': mark_2
        } as place,
        mark_1,
        mark_2,
        camber_count,
        caster_count
    from settings
    inner join (
        select vehicle, corner, visit, mark_1, mark_2, camber_count, caster_count from states where phase = 'after'
    ) as pointers using (vehicle, corner, visit)
    where left_behind and kit is not null and plate_index is not null and mark_1 is not null
),
ended as (
    select vehicle, corner, wall_time(changed_at) as ended_ts from changes
    union all
    select vehicle, corner, ordered_ts as ended_ts from drift where verdict in ('bent', 'other')
),
-- What ends an epoch counts from its own moment on.
placed as (
    select
        marked.*,
        (
            select count(*) from ended
            where ended.vehicle = marked.vehicle and coalesce(ended.corner, marked.corner) = marked.corner
                and ended_ts <= marked.ordered_ts
        ) as epoch,
        place is distinct from lag(place) over (
            partition by vehicle, corner order by ordered_ts, visit
        ) as is_new
    from marked
),
grouped as (
    select
        *,
        dense_rank() over (order by vehicle, corner, place, epoch, gauge, technician) as returned
    from placed
    where is_new
),
angles as (
    select
        * exclude (target),
        unnest([
            {
                'response': 'camber_deg',
                'deg': camber_deg - camber_bias_deg + coalesce(tan_deg(caster_deg) * toe_deg, 0),
                'read_count': camber_count
            },
            {'response': 'caster_deg', 'deg': caster_deg - caster_bias_deg, 'read_count': caster_count}
        ], recursive := true)
    from grouped
),
-- Not widened for few degrees of freedom, which is for limits; a set-up that is only expected counts as part of the return.
noise as (
    select
        gauge,
        technician,
        response,
        one_var_deg2,
        shared_var_deg2,
        case when set_up_source <> 'prior' then set_up_var_deg2 else 0 end as set_up_var
    from reader_noise
    left join readers using (reader)
    where reader >= 0
),
read as (
    select
        angles.*,
        mean_var(one_var_deg2, shared_var_deg2, read_count) + set_up_var as var_deg2
    from angles
    inner join noise
        on noise.response = angles.response
        and noise.gauge is not distinct from angles.gauge
        and noise.technician is not distinct from angles.technician
)
select
    returned,
    vehicle,
    corner,
    kit,
    plate_index,
    mark_1,
    mark_2,
    response,
    deg,
    var_deg2
from read
where deg is not null and (asked_kit is null or kit = asked_kit)
qualify count(*) over (partition by returned, response) > 1;
