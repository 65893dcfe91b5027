-- title: Moves of the bearing, one row with all angles
-- grain: one row per pair of states of one corner in one visit with the same chassis and known offsets, which differ, or the kit does
-- source: states, condition_changes, free_toe_states
-- missing: pairs under different conditions (condition_changes) are left out; camber of a moved state of free_toe_states counts as not read; a change is NULL where the angle was not read in both states, for toe also where tie rods were turned between them
-- column chassis VARCHAR: platform code
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR
-- column visit VARCHAR: visit
-- column from_phase VARCHAR: before moved
-- column to_phase VARCHAR: moved after
-- column kit_change VARCHAR: earlier and later kit where they differ; NULL = one kit
-- column move_out_mm DOUBLE [mm]: change of the bearing offset, outboard
-- column move_aft_mm DOUBLE [mm]: change of the bearing offset, rearward
-- column mid_out_mm DOUBLE [mm]: middle of the two offsets, outboard
-- column mid_aft_mm DOUBLE [mm]: middle of the two offsets, rearward
-- column camber_change_deg DOUBLE [deg]: change of camber, brought to equal toe with the caster of the corner
-- column camber_read_change_deg DOUBLE [deg]: change of camber as read
-- column caster_change_deg DOUBLE [deg]: change of caster
-- column sai_change_deg DOUBLE [deg]: change of SAI
-- column toe_change_deg DOUBLE [deg]: change of toe per wheel, tie rods untouched
-- column equal_toe VARCHAR: measured (toe read in both states), assumed (tie rods re-set, toe not read), no caster (toe read, caster nowhere on the chassis), unknown (toe not read)
-- column camber_weight DOUBLE: 2 r1 r2 / (sum of r over the visit's states), r = readings averaged: pairs of one visit share their information
-- column caster_weight DOUBLE: the same for caster
-- column sai_weight DOUBLE: the same for SAI
-- column toe_weight DOUBLE: the same for toe, over the states between which tie rods were not turned
-- column read_error_oo_mm2 DOUBLE [mm2]: variance of the move from reading the pointer twice, outboard
-- column read_error_oa_mm2 DOUBLE [mm2]: its covariance
-- column read_error_aa_mm2 DOUBLE [mm2]: its variance rearward
-- column from_reader BIGINT: who read the earlier state, see readers, where the two were read with two gauges; else NULL
-- column to_reader BIGINT: who read the later one
-- column source_file VARCHAR: file of the later state's first reading
-- column source_line INTEGER: line of the later state's first reading
with
-- Only fronts carry plates; a state with an unknown offset cannot be an end of a move.
fronts as not materialized (
    select * from states where corner in ('FL', 'FR') and offset_out_mm is not null
),
-- The same place twice says nothing about a slope. The number is for joins only, it is of no order.
moved as (
    select vehicle, corner, visit, row_number() over () as number
    from fronts group by vehicle, corner, visit
    having max(offset_out_mm) - min(offset_out_mm) > 1e-6 or max(offset_aft_mm) - min(offset_aft_mm) > 1e-6
        or max(coalesce(kit, '')) <> min(coalesce(kit, ''))
),
differing as (
    select vehicle, corner, visit,
        bool_or(from_phase = 'before' and to_phase = 'moved') as before_moved,
        bool_or(from_phase = 'before' and to_phase = 'after') as before_after,
        bool_or(from_phase = 'moved' and to_phase = 'after') as moved_after
    from condition_changes group by vehicle, corner, visit
),
-- States of one part differ in no condition that both tell.
visited as (
    select
        number,
        fronts.* replace (case when free.phase is null then camber_deg end as camber_deg,
            case when free.phase is null then camber_count else 0 end as camber_count),
        case
            when phase = 'moved' and before_moved then 2
            when phase = 'after' and before_after and before_moved and not moved_after then 2
            when phase = 'after' and (before_after or (moved_after and not before_moved)) then 3
            else 1
        end as part,
        reader_of(gauge, technician) as reader
    from fronts
    inner join moved using (vehicle, corner, visit)
    left join differing using (vehicle, corner, visit)
    left join free_toe_states as free using (vehicle, corner, visit, phase)
),
-- Stands in where neither state has caster.
chassis_caster as (
    select chassis, median(caster_deg) as caster_deg
    from states
    semi join (select chassis from visited where caster_deg is null) using (chassis)
    where corner in ('FL', 'FR')
    group by chassis
),
pairs as (
    select
        earlier.chassis,
        earlier.vehicle,
        earlier.corner,
        earlier.visit,
        earlier.phase as from_phase,
        later.phase as to_phase,
        case when later.kit is distinct from earlier.kit
            then format('{} to {}', coalesce(earlier.kit, 'original mount'), coalesce(later.kit, 'original mount'))
        end as kit_change,
        later.offset_out_mm - earlier.offset_out_mm as move_out_mm,
        later.offset_aft_mm - earlier.offset_aft_mm as move_aft_mm,
        (later.offset_out_mm + earlier.offset_out_mm) / 2 as mid_out_mm,
        (later.offset_aft_mm + earlier.offset_aft_mm) / 2 as mid_aft_mm,
        later.read_error_oo_mm2 + earlier.read_error_oo_mm2 as read_error_oo_mm2,
        later.read_error_oa_mm2 + earlier.read_error_oa_mm2 as read_error_oa_mm2,
        later.read_error_aa_mm2 + earlier.read_error_aa_mm2 as read_error_aa_mm2,
        case when later.gauge is distinct from earlier.gauge then earlier.reader end as from_reader,
        case when later.gauge is distinct from earlier.gauge then later.reader end as to_reader,
        later.source_file,
        later.source_line,
        later.camber_deg - earlier.camber_deg as camber_change_deg,
        later.caster_deg - earlier.caster_deg as caster_change_deg,
        later.sai_deg - earlier.sai_deg as sai_change_deg,
        later.toe_deg - earlier.toe_deg as toe_change_deg,
        coalesce((later.caster_deg + earlier.caster_deg) / 2, later.caster_deg, earlier.caster_deg) as own_caster_deg,
        -- The third state of the visit shares the information, for toe where it has the same tie rods.
        third.number is not null as third_counts,
        not later.toe_reset and not (coalesce(third.phase_order, 0) = 2 and third.toe_reset) as same_tie_rods,
        case third.phase_order
            when 1 then not earlier.toe_reset
            when 2 then same_tie_rods
            when 3 then not third.toe_reset
        end as third_same_tie_rods,
        later.camber_count as later_camber,
        earlier.camber_count as earlier_camber,
        case when third_counts then third.camber_count else 0 end as third_camber,
        later.caster_count as later_caster,
        earlier.caster_count as earlier_caster,
        case when third_counts then third.caster_count else 0 end as third_caster,
        later.sai_count as later_sai,
        earlier.sai_count as earlier_sai,
        case when third_counts then third.sai_count else 0 end as third_sai,
        later.toe_count as later_toe,
        earlier.toe_count as earlier_toe,
        case when third_counts and third_same_tie_rods then third.toe_count else 0 end as third_toe
    from visited as later
    inner join visited as earlier
        on earlier.number = later.number
        and earlier.phase_order < later.phase_order
        and earlier.part = later.part
        and earlier.chassis = later.chassis
    left join visited as third
        on third.number = later.number and third.part = later.part and third.chassis = later.chassis
        and third.phase_order = 6 - later.phase_order - earlier.phase_order
    where later.phase <> 'before'
        and earlier.phase <> 'after'
        and (
            abs(later.offset_out_mm - earlier.offset_out_mm) > 1e-6
            or abs(later.offset_aft_mm - earlier.offset_aft_mm) > 1e-6
            or later.kit is distinct from earlier.kit
        )
),
with_caster as (
    select pairs.*, coalesce(own_caster_deg, chassis_caster.caster_deg) as caster_deg
    from pairs
    left join chassis_caster using (chassis)
)
select
    chassis,
    vehicle,
    corner,
    visit,
    from_phase,
    to_phase,
    kit_change,
    round(move_out_mm, 6) as move_out_mm,
    round(move_aft_mm, 6) as move_aft_mm,
    mid_out_mm,
    mid_aft_mm,
    -- A wheel that toes in by 1 deg about an axis with caster t loses tan(t) deg of camber.
    round(camber_change_deg + coalesce(tan_deg(caster_deg) * toe_change_deg, 0), 6) as camber_change_deg,
    round(camber_change_deg, 6) as camber_read_change_deg,
    round(caster_change_deg, 6) as caster_change_deg,
    round(sai_change_deg, 6) as sai_change_deg,
    case when same_tie_rods then round(toe_change_deg, 6) end as toe_change_deg,
    case
        when toe_change_deg is not null and caster_deg is not null then 'measured'
        when not same_tie_rods then 'assumed'
        when toe_change_deg is not null then 'no caster'
        else 'unknown'
    end as equal_toe,
    2 * later_camber * earlier_camber / (later_camber + earlier_camber + third_camber) as camber_weight,
    2 * later_caster * earlier_caster / (later_caster + earlier_caster + third_caster) as caster_weight,
    2 * later_sai * earlier_sai / (later_sai + earlier_sai + third_sai) as sai_weight,
    2 * later_toe * earlier_toe / (later_toe + earlier_toe + third_toe) as toe_weight,
    read_error_oo_mm2,
    read_error_oa_mm2,
    read_error_aa_mm2,
    from_reader,
    to_reader,
    source_file,
    source_line
from with_caster
