-- Where the bearing comes at the whole marks and the ends of the plate that sits in each front of the cars of the page, as it is clocked
-- now; the four corners of a plate with two scales.
with
present as (
    select vehicle, chassis, corner, kit, plate_hand, plate_index
    from states
    where corner in ('FL', 'FR') and ($vehicle::varchar is null or vehicle = $vehicle)
    qualify row_number() over (
        partition by vehicle, corner order by ordered_ts desc nulls last, visit desc, phase_order desc
    ) = 1
),
cars as (
    select vehicle from page_cars($vehicle::varchar, 24)
),
fitted as (
    select
        present.vehicle,
        corner,
        plate_index,
        plates.*,
        coalesce(plate_hand <> case corner when 'FL' then 'left' else 'right' end, false) as other_hand
    from present
    semi join cars using (vehicle)
    inner join plates
        on plates.kit = present.kit and coalesce(plates.chassis = present.chassis, true)
    where plate_index is not null and mark_min < mark_max
    qualify row_number() over (partition by present.vehicle, corner order by plates.chassis nulls last) = 1
),
marked as (
    select
        *,
        unnest(
            case
                when two_scales then [
                    {'place': 1, 'mark_1': mark_min, 'mark_2': mark2_min},
                    {'place': 2, 'mark_1': mark_max, 'mark_2': mark2_min},
                    {'place': 3, 'mark_1': mark_max, 'mark_2': mark2_max},
                    {'place': 4, 'mark_1': mark_min, 'mark_2': mark2_max}
                ]
                else list_transform(
                    list_sort(
                        list_distinct(
                            list_concat(
                                [mark_min, mark_max],
                                list_transform(
                                    range(cast(ceil(mark_min) as bigint), cast(floor(mark_max) as bigint) + 1),
                                    lambda mark: cast(mark as double)
                                )
                            )
                        )
                    ),
                    lambda mark, number: {'place': cast(number as integer), 'mark_1': mark, 'mark_2': cast(0 as double)}
                )
            end,
            recursive := true
        )
    from fitted
),
placed as (
    select
        *,
        plate_offset(
            mark_1, mark_2, pitch_mm, axis_deg, centre_out_mm, centre_aft_mm, (plate_index - 1) * index_step_deg,
            other_hand
        ) as bearing
    from marked
)
select
    vehicle,
    corner,
    place,
    index_count,
    index_step_deg,
    other_hand,
    plate_index,
    mark_1,
    case when two_scales then mark_2 end as mark_2,
    bearing.out_mm as out_mm,
    bearing.aft_mm as aft_mm
from placed
order by vehicle, corner, place
