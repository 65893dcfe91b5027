-- title: States of one visit that were read under different conditions
-- grain: one row per pair of states of one corner in one visit that both tell a condition and tell it differently
-- source: readings, condition_levels, states
-- missing: what one of the two does not tell counts as no difference
-- Conditions as in condition_levels; of a state that was read under several, those of level 1.
-- column chassis VARCHAR: platform code
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR RL RR
-- column visit VARCHAR: visit
-- column visit_kind VARCHAR: install adjust session check
-- column from_phase VARCHAR: before moved
-- column to_phase VARCHAR: moved after
-- column conditions VARCHAR: what differs, earlier to later
-- column is_move BOOLEAN: slopes would use the pair: a front with one kit at two known offsets
-- column source_file VARCHAR: file of the later state's first reading
-- column source_line INTEGER: line of the later state's first reading
with
told as (
    select
        vehicle,
        corner,
        visit,
        phase,
        max(driver_aboard) as driver_aboard,
        exact_mean(fuel_l) as fuel_l,
        max(rolled) as rolled,
        max(bolts_tight) as bolts_tight,
        max(place) as place
    from (
        select
            vehicle,
            corner,
            visit,
            phase,
            coalesce(repeat, 1) as repeat,
            driver_aboard,
            fuel_l,
            rolled,
            bolts_tight,
            place
        from readings
        where coalesce(driver_aboard, rolled, bolts_tight, place) is not null or fuel_l is not null
    ) as telling
    anti join (select * from condition_levels where level > 1) as other_levels
        using (vehicle, corner, visit, phase, repeat)
    group by vehicle, corner, visit, phase
),
placed as (
    select
        told.*,
        states.chassis,
        states.visit_kind,
        states.phase_order,
        states.kit,
        states.offset_out_mm,
        states.offset_aft_mm,
        states.source_file,
        states.source_line
    from states
    inner join told using (vehicle, corner, visit, phase)
),
pairs as (
    select
        later.chassis,
        vehicle,
        corner,
        visit,
        later.visit_kind,
        earlier.phase as from_phase,
        later.phase as to_phase,
        concat_ws(
            ', ',
            case when earlier.driver_aboard <> later.driver_aboard
                then format('driver_aboard {} to {}', earlier.driver_aboard, later.driver_aboard) end,
            case when abs(earlier.fuel_l - later.fuel_l) > 10
                then format('fuel_l {:.0f} to {:.0f}', earlier.fuel_l, later.fuel_l) end,
            case when earlier.rolled <> later.rolled
                then format('rolled {} to {}', earlier.rolled, later.rolled) end,
            case when earlier.bolts_tight <> later.bolts_tight
                then format('bolts_tight {} to {}', earlier.bolts_tight, later.bolts_tight) end,
            case when earlier.place <> later.place
                then format('place {} to {}', earlier.place, later.place) end
        ) as conditions,
        coalesce(
            corner in ('FL', 'FR')
            and earlier.chassis = later.chassis
            and earlier.kit is not distinct from later.kit
            and (
                abs(later.offset_out_mm - earlier.offset_out_mm) > 1e-6
                or abs(later.offset_aft_mm - earlier.offset_aft_mm) > 1e-6
            ),
            false
        ) as is_move,
        later.source_file,
        later.source_line
    from placed as later
    inner join placed as earlier using (vehicle, corner, visit)
    where earlier.phase_order < later.phase_order
)
select
    chassis,
    vehicle,
    corner,
    visit,
    visit_kind,
    from_phase,
    to_phase,
    conditions,
    is_move,
    source_file,
    source_line
from pairs
where conditions <> ''
