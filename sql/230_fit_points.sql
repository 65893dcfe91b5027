-- title: Moves as the fits take them
-- grain: one row per move and response
-- source: moves
-- missing: none
-- column fit INTEGER: number of the chassis and response, in their order
-- column chassis VARCHAR: platform code
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column move_out_mm DOUBLE [mm]: change of the bearing offset, outboard
-- column move_aft_mm DOUBLE [mm]: change of the bearing offset, rearward
-- column change_deg DOUBLE [deg]: change of the angle
-- column weight DOUBLE: weight of the move
with
fits as (
    select chassis, response, cast(row_number() over (order by chassis, response) as integer) as fit
    from (select distinct chassis, response from moves)
)
select
    fit,
    chassis,
    response,
    move_out_mm,
    move_aft_mm,
    change_deg,
    weight
from moves
inner join fits using (chassis, response)
