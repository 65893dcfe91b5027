-- title: Gauges, people or pairs that were compared with each other, directly or through others
-- grain: one row per row of gauge_factors
-- source: gauge_readings, gauge_factors
-- missing: none; a level that never met another one is a group by itself
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column level INTEGER: number within the angle, see gauge_factors
-- column compared_group INTEGER: lowest number of its group
with recursive
members as (
    select distinct gauge_readings.response, part, kind, level
    from gauge_readings
    inner join gauge_factors
        on gauge_factors.response = gauge_readings.response
        and (gauge_factors.gauge is null or gauge_factors.gauge = gauge_readings.gauge)
        and (gauge_factors.technician is not distinct from gauge_readings.technician or kind = 'gauge')
),
meetings as (
    select distinct first.response, first.level as level_1, second.level as level_2
    from members as first
    inner join members as second using (response, part, kind)
),
reached as (
    select response, level, level as other_level from gauge_factors
    union
    select reached.response, reached.level, meetings.level_2 as other_level
    from reached
    inner join meetings on meetings.response = reached.response and meetings.level_1 = reached.other_level
)
select response, level, min(other_level) as compared_group
from reached
group by response, level
