-- The states that needed_offsets would take for a target of camber and caster, of camber alone and of caster alone.
with
dated as (
    select
        *,
        row_number() over (
            partition by vehicle, corner order by place_in_time(ordered_ts, visit, phase_order) desc
        ) as age
    from states
    where corner in ('FL', 'FR') and offset_out_mm is not null and not (visit_kind = 'session' and phase = 'after')
),
newest as (
    select *
    from dated
    qualify age in (
        min(
            case when camber_deg is not null and caster_deg is not null then age end
        ) over (partition by vehicle, corner),
        min(case when camber_deg is not null then age end) over (partition by vehicle, corner),
        min(case when caster_deg is not null then age end) over (partition by vehicle, corner)
    )
)
select
    pseudonym as vehicle,
    newest.chassis,
    corner,
    row_number() over (partition by vehicle, corner order by age) as newest_first,
    offset_out_mm,
    offset_aft_mm,
    read_error_oo_mm2,
    read_error_oa_mm2,
    read_error_aa_mm2,
    camber_deg,
    camber_count,
    caster_deg,
    caster_count,
    toe_deg,
    toe_count,
    number as gauge,
    end_1_out,
    end_1_aft,
    end_2_out,
    end_2_aft
from newest
inner join vehicle_pseudonyms using (vehicle)
left join gauge_numbers using (gauge)
left join scale_ends using (vehicle, corner, visit, phase)
