-- title: Moves of a vehicle that fit another unit or sign of the offsets
-- likely: offsets in inches, marks and millimetres mixed up, or a sign lost; the finding says which fits
-- mend: compare the offsets and camber of these rows with the sheet; correct them and load them with --replace
-- computed by: src/stats/checks
-- explains: copied_rows, swapped_sides, wrong_placement, lost_camber_sign, included_angle_jump, downweighted_moves
-- Each explanation is compared with "as written" on all moves of the vehicle; units also on each visit where the vehicle as a
-- whole shows nothing (signs of one visit: swapped_sides, wrong_placement, lost_camber_sign). Prior odds (from memory): inches 1 : 250, marks as mm 1 : 120, mm as marks 1 : 250, both signs 1 : 160, one
-- sign 1 : 500, camber's sign 1 : 250. Slopes come from the chassis' other vehicles. The moves of a corner in one visit go together: one
-- corner in ten is grossly wrong, and one in twenty had slipped along its way, some 3 mm, before its place was written down.
with
-- Where the offset of a state comes from, of all its repeats.
ends as (
    select
        vehicle,
        corner,
        visit,
        phase,
        min(kit) as kit,
        case when min(gauge) = max(gauge) then min(gauge) end as gauge,
        case
            when bool_and(offset_source = 'measured') then 'measured'
            when bool_and(offset_source = 'marks') then 'marks'
        end as source
    from placements
    where corner in ('FL', 'FR')
    group by vehicle, corner, visit, phase
)
select
    moved.chassis,
    vehicle,
    visit,
    moved.corner,
    moved.source_file,
    moved.source_line,
    case when from_end.source = to_end.source then to_end.source end as offset_source,
    coalesce(own.pitch_mm, common.pitch_mm) as pitch_mm,
    columns('^(move_(out|aft)_mm|read_error_.._mm2|(camber|caster|toe|sai)_(change_deg|weight|sd_deg)|camber_read_change_deg)$'),
    columns('^(camber|caster|toe|sai)_(slope|var|cov)_')
from state_pairs as moved
inner join ends as from_end using (vehicle, corner, visit)
inner join ends as to_end using (vehicle, corner, visit)
inner join check_slopes using (chassis, vehicle)
inner join check_noise on check_noise.chassis = moved.chassis and check_noise.gauge is not distinct from to_end.gauge
left join plates as own on own.kit = to_end.kit and own.chassis = moved.chassis
left join plates as common on common.kit = to_end.kit and common.chassis is null
where kit_change is null and from_end.phase = from_phase and to_end.phase = to_phase
order by moved.chassis, vehicle, visit, corner, from_phase, to_phase
