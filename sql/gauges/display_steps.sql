-- title: The step of each gauge's display
-- grain: one row per gauge of the readings and angle that it read
-- source: readings
-- missing: gauge is NULL for readings without one
-- computed by: src/stats/tables
-- The coarsest common grid (decimals, minutes of arc) that holds 98 % of the readings and would not by chance.
-- column gauge VARCHAR: measuring equipment; NULL = not named
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column step_deg DOUBLE [deg]: step; 0 = none
with
readings_long as (
    unpivot (select gauge, camber_deg, caster_deg, toe_deg, sai_deg from readings)
        on camber_deg, caster_deg, toe_deg, sai_deg into name response value read_deg
)
select
    gauge,
    response,
    read_deg,
    count(*) as reading_count
from readings_long
group by gauge, response, read_deg
order by gauge, response, read_deg
