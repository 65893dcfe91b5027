-- title: Moves of the bearing and what they did to the angles
-- grain: one row per pair of states of one corner in one visit with the same kit and a known, different offset, and response
-- source: states
-- missing: a pair is left out for a response that was not read in both states, and for toe where tie rods were turned between them
-- column chassis VARCHAR: platform code
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR
-- column visit VARCHAR: visit
-- column from_phase VARCHAR: before moved
-- column to_phase VARCHAR: moved after
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column move_out_mm DOUBLE [mm]: change of the bearing offset, outboard
-- column move_aft_mm DOUBLE [mm]: change of the bearing offset, rearward
-- column mid_out_mm DOUBLE [mm]: middle of the two offsets, outboard
-- column mid_aft_mm DOUBLE [mm]: middle of the two offsets, rearward
-- column change_deg DOUBLE [deg]: change of the angle; camber is brought to equal toe with the caster of the corner
-- column read_change_deg DOUBLE [deg]: change of the angle as read
-- column equal_toe VARCHAR: measured (toe read in both states), assumed (tie rods re-set, toe not read), unknown
-- column weight DOUBLE: 2 r1 r2 / (sum of r over the visit's states), r = readings averaged: pairs of one visit share their information
-- column read_error_oo_mm2 DOUBLE [mm2]: variance of the move from reading the pointer twice, outboard
-- column read_error_oa_mm2 DOUBLE [mm2]: its covariance
-- column read_error_aa_mm2 DOUBLE [mm2]: its variance rearward
-- column source_file VARCHAR: file of the later state's first reading
-- column source_line INTEGER: line of the later state's first reading
with
-- Only fronts carry plates; a state with an unknown offset cannot be an end of a move.
placed as (
    select
        *,
        sum(case when toe_reset then 1 else 0 end)
            over (partition by vehicle, corner, visit order by phase_order) as toe_setting
    from states
    where corner in ('FL', 'FR') and offset_out_mm is not null
),
chassis_caster as (
    select chassis, median(caster_deg) as caster_deg from states where corner in ('FL', 'FR') group by chassis
),
shares as (
    select
        *,
        sum(camber_count) over same_kit as camber_total,
        sum(caster_count) over same_kit as caster_total,
        sum(sai_count) over same_kit as sai_total,
        sum(toe_count) over (partition by vehicle, corner, visit, kit, toe_setting) as toe_total
    from placed
    window same_kit as (partition by vehicle, corner, visit, kit)
),
pairs as (
    select
        earlier.chassis,
        earlier.vehicle,
        earlier.corner,
        earlier.visit,
        earlier.phase as from_phase,
        later.phase as to_phase,
        round(later.offset_out_mm - earlier.offset_out_mm, 6) as move_out_mm,
        round(later.offset_aft_mm - earlier.offset_aft_mm, 6) as move_aft_mm,
        (later.offset_out_mm + earlier.offset_out_mm) / 2 as mid_out_mm,
        (later.offset_aft_mm + earlier.offset_aft_mm) / 2 as mid_aft_mm,
        later.read_error_oo_mm2 + earlier.read_error_oo_mm2 as read_error_oo_mm2,
        later.read_error_oa_mm2 + earlier.read_error_oa_mm2 as read_error_oa_mm2,
        later.read_error_aa_mm2 + earlier.read_error_aa_mm2 as read_error_aa_mm2,
        later.source_file,
        later.source_line,
        later.camber_deg - earlier.camber_deg as camber_change,
        later.caster_deg - earlier.caster_deg as caster_change,
        later.sai_deg - earlier.sai_deg as sai_change,
        later.toe_deg - earlier.toe_deg as toe_change,
        later.toe_setting = earlier.toe_setting as same_tie_rods,
        coalesce((later.caster_deg + earlier.caster_deg) / 2, later.caster_deg, earlier.caster_deg, chassis_caster.caster_deg) as caster_deg,
        2.0 * later.camber_count * earlier.camber_count / later.camber_total as camber_weight,
        2.0 * later.caster_count * earlier.caster_count / later.caster_total as caster_weight,
        2.0 * later.sai_count * earlier.sai_count / later.sai_total as sai_weight,
        2.0 * later.toe_count * earlier.toe_count / later.toe_total as toe_weight
    from shares as later
    inner join shares as earlier
        on earlier.vehicle = later.vehicle
        and earlier.corner = later.corner
        and earlier.visit = later.visit
        and earlier.kit is not distinct from later.kit
        and earlier.phase_order < later.phase_order
    left join chassis_caster on chassis_caster.chassis = earlier.chassis
    -- The same place twice says nothing about a slope.
    where abs(later.offset_out_mm - earlier.offset_out_mm) > 1e-6 or abs(later.offset_aft_mm - earlier.offset_aft_mm) > 1e-6
),
responses as (
    select
        *,
        -- A wheel that toes in by 1 deg about an axis with caster t loses tan(t) deg of camber.
        unnest([
            {
                'response': 'camber_deg',
                'change_deg': camber_change + coalesce(tan_deg(caster_deg) * toe_change, 0),
                'read_change_deg': camber_change,
                'weight': camber_weight
            },
            {'response': 'caster_deg', 'change_deg': caster_change, 'read_change_deg': caster_change, 'weight': caster_weight},
            {'response': 'sai_deg', 'change_deg': sai_change, 'read_change_deg': sai_change, 'weight': sai_weight},
            {
                'response': 'toe_deg',
                'change_deg': case when same_tie_rods then toe_change end,
                'read_change_deg': case when same_tie_rods then toe_change end,
                'weight': toe_weight
            }
        ], recursive := true)
    from pairs
)
select
    chassis,
    vehicle,
    corner,
    visit,
    from_phase,
    to_phase,
    response,
    move_out_mm,
    move_aft_mm,
    mid_out_mm,
    mid_aft_mm,
    round(change_deg, 6) as change_deg,
    round(read_change_deg, 6) as read_change_deg,
    case
        when toe_change is not null and caster_deg is not null then 'measured'
        when not same_tie_rods then 'assumed'
        else 'unknown'
    end as equal_toe,
    weight,
    read_error_oo_mm2,
    read_error_oa_mm2,
    read_error_aa_mm2,
    source_file,
    source_line
from responses
where change_deg is not null
