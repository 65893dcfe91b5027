-- What the page about clocking shows, one row: a car, or the median car of a chassis (vehicle ''), and the kit. Nothing asked: the
-- chassis with the most cars and its most fitted kit; of a car the kit that it carries.
create or replace temp macro clocking_subject(asked_vehicle, asked_chassis, asked_kit) as table
with
cars as (
    select vehicle, any_value(chassis) as chassis, max(kit) as kit
    from present_corners
    where vehicle = asked_vehicle
    group by vehicle
),
subjects as (
    select vehicle, chassis, kit as fitted_kit, 0 as rank from cars
    union all
    select '' as vehicle, chassis, null as fitted_kit, row_number() over (order by vehicle_count desc, chassis) as rank
    from chassis_corners
    where asked_vehicle is null and (asked_chassis is null or chassis = asked_chassis)
),
subject as (
    select * from subjects order by rank limit 1
),
fitted as (
    select chassis, kit, count(distinct vehicle) as vehicle_count
    from readings
    where kit is not null
    group by chassis, kit
)
select
    subject.vehicle,
    subject.chassis,
    plates.kit,
    coalesce(vehicle_count, 0) as vehicle_count
from subject
inner join plates
    on (plates.chassis = subject.chassis or plates.chassis is null)
    and plates.mark_min is not null
    and plates.mark_max is not null
    and (asked_kit is null or plates.kit = asked_kit)
left join fitted on fitted.chassis = subject.chassis and fitted.kit = plates.kit
order by (plates.kit = fitted_kit) desc nulls last, vehicle_count desc nulls last, plates.kit
limit 1;
