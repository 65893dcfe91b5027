-- Moves of the bearing and what they did to an angle, each read with one gauge: what another one adds nobody else can tell.
with
-- Camber whose caster was not read in either state: the rest of the field decides about the caster that stands in.
open_pairs as (
    select
        later.vehicle,
        later.corner,
        later.visit,
        earlier.phase as from_phase,
        later.phase as to_phase,
        'camber_deg' as response,
        later.camber_deg - earlier.camber_deg as camber_change_deg,
        later.toe_deg - earlier.toe_deg as toe_change_deg
    from states as later
    inner join states as earlier
        on earlier.vehicle = later.vehicle
        and earlier.corner = later.corner
        and earlier.visit = later.visit
    where later.caster_deg is null and earlier.caster_deg is null and later.toe_deg - earlier.toe_deg is not null
)
select
    pseudonym as vehicle,
    chassis,
    corner,
    response,
    move_out_mm,
    move_aft_mm,
    mid_out_mm,
    mid_aft_mm,
    coalesce(camber_change_deg, change_deg) as change_deg,
    toe_change_deg as open_toe_change_deg,
    case when response = 'camber_deg' then replace(equal_toe, 'no caster', 'unknown') end as equal_toe,
    case when kit_change is not null then dense_rank() over (
        partition by kit_change is null order by hash(kit_change)
    ) end as kit_change,
    weight,
    read_error_oo_mm2,
    read_error_oa_mm2,
    read_error_aa_mm2
from slope_moves as moves
inner join vehicle_pseudonyms using (vehicle)
left join open_pairs using (vehicle, corner, visit, from_phase, to_phase, response)
where moves.from_reader is null
