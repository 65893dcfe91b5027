-- Why the newest state of a car may not be what is stored as such, one row each. doubt: spelling = other_name, a car whose name
-- differs only in letter case, Unicode form, spaces or dashes, with reading_count readings; date = the state of visit is of a day
-- that cannot be, loaded_on being the day of its load.
create or replace temp macro car_doubts(asked_vehicle) as table
with
spellings as (
    select vehicle
    from (select distinct vehicle from readings)
    where vehicle <> asked_vehicle and name_key(vehicle) = name_key(asked_vehicle)
)
select
    'spelling' as doubt,
    vehicle as other_name,
    count(*) as reading_count,
    cast(null as varchar) as visit,
    cast(null as varchar) as read_on,
    cast(null as varchar) as loaded_on
from readings
semi join spellings using (vehicle)
group by vehicle
union all
select
    'date' as doubt,
    null as other_name,
    count(*) as reading_count,
    visit,
    left(max(measured_at), 10) as read_on,
    strftime(max(loaded_at), '%Y-%m-%d') as loaded_on
from readings
semi join present_corners using (vehicle, corner, visit)
left join loads using (load_id)
where vehicle = asked_vehicle
    and (day_after_load(reading_day(measured_at), loaded_at) or day_too_old(reading_day(measured_at)))
group by visit;
