-- title: Plates whose written place changed in a visit in which nothing was to be touched
-- likely: the plate was set in that visit (which makes it an adjust visit), a mark was mistyped, or the plate slipped and was seen to
-- mend: if it was set, write adjust as the kind of the visit; if it slipped, leave it and see strutmark drift; else correct the mark
-- p_mistake is NULL: the rows do not tell which of the three it was.
with
plated as (
    select *
    from states
    where visit_kind in ('session', 'check') and corner in ('FL', 'FR')
),
ends as (
    select
        earlier.chassis,
        vehicle,
        corner,
        visit,
        earlier.visit_kind,
        later.phase,
        concat_ws(
            ', ',
            case when earlier.kit is distinct from later.kit
                then format('kit {} to {}', coalesce(earlier.kit, 'none'), coalesce(later.kit, 'none')) end,
            case when earlier.plate_index <> later.plate_index
                then format('index {} to {}', earlier.plate_index, later.plate_index) end,
            case when earlier.plate_hand <> later.plate_hand
                then format('hand {} to {}', earlier.plate_hand, later.plate_hand) end,
            case when earlier.mark_1 <> later.mark_1 then format('mark {} to {}', earlier.mark_1, later.mark_1) end,
            case when earlier.mark_2 <> later.mark_2
                then format('second mark {} to {}', earlier.mark_2, later.mark_2) end,
            case
                when earlier.kit is not distinct from later.kit
                    and coalesce(earlier.plate_index = later.plate_index, true)
                    and coalesce(earlier.plate_hand = later.plate_hand, true)
                    and coalesce(earlier.mark_1 = later.mark_1, true)
                    and coalesce(earlier.mark_2 = later.mark_2, true)
                    and (
                        abs(earlier.offset_out_mm - later.offset_out_mm) > 1e-6
                        or abs(earlier.offset_aft_mm - later.offset_aft_mm) > 1e-6
                    )
                then format(
                    'offset {:.1f}, {:.1f} mm to {:.1f}, {:.1f} mm',
                    earlier.offset_out_mm, earlier.offset_aft_mm, later.offset_out_mm, later.offset_aft_mm
                )
            end
        ) as changes,
        later.source_file,
        later.source_line
    from plated as earlier
    inner join plated as later using (vehicle, corner, visit)
    where earlier.phase = 'before' and later.phase = 'after'
)
select
    chassis,
    vehicle,
    corner,
    visit,
    format('{} visit, but from before to after: {}', visit_kind, changes) as finding,
    cast(null as double) as p_mistake,
    source_file,
    source_line
from ends
where changes <> ''
