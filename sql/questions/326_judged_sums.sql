-- Sums of judged settings and visits, per group and response and over all (split_by = 'overall'), as setting_sums has them; by car what
-- icc wants. by_1, by_2: technician, gauge, kit, chassis, month or NULL. Response 'all' counts visits, judged as a whole. anonymous:
-- technicians get numbers for names.
create or replace temp macro judged_sums(by_1, by_2, guard, come_back_days, anonymous) as table
with
splits as (
    select 'overall' as split_by
    union all
    select concat_ws(',', by_1, by_2) where by_1 is not null
),
-- Over all, and by chassis, the sums for the usual guard band stand in chassis_sums.
stored as (
    select
        split_by,
        case when split_by = 'overall' then 'all' else chassis end as "group",
        chassis_sums.* exclude (chassis) replace (
            cast(own_square as hugeint) as own_square,
            cast(z_square as hugeint) as z_square,
            cast(z_z_cars as hugeint) as z_z_cars,
            cast(short_short_cars as hugeint) as short_short_cars,
            cast(short_square as hugeint) as short_square
        )
    from chassis_sums
    cross join splits
    where guard = 1.65 and coalesce(by_1, 'chassis') = 'chassis' and by_2 is null
),
judged as (
    select
        *,
        own_error(error_deg, end_of_scale, far_off) as own_deg,
        case when tol_deg > 0 then own_deg / tol_deg end as z,
        stopped_short(error_deg, tol_deg, found_error_deg, at_end) as short
    from judged_settings(guard)
    where guard <> 1.65 or coalesce(by_1, 'chassis') <> 'chassis' or by_2 is not null
    union all by name
    select *, 'all' as response, false as far_off from judged_visits(guard, come_back_days)
),
-- One row for each car of a group.
sums as (
    select
        audit_label(by_1, technician, gauge, kit, chassis, month) as label_1,
        audit_label(by_2, technician, gauge, kit, chassis, month) as label_2,
        response,
        vehicle,
        setting_sums(
            verdict, hit, end_of_scale, far_off, own_deg, scatter_u_deg, apart_u_deg, u_deg, z, tol_deg, short
        ) as sums,
        count(*) filter (where first_time and (came_back or followed)) as first_count,
        count(*) filter (where first_time and followed and hit and not came_back) as first_hit_count,
        count(*) filter (where came_back) as come_back_count,
        count(*) filter (where came_back and moved) as come_back_moved_count,
        count(*) filter (where came_back and not moved) as come_back_unmoved_count
    from judged
    group by label_1, label_2, response, vehicle
),
numbers as (
    select technician, 'technician ' || row_number() over (order by md5(technician)) as number
    from (
        select distinct technician from target_settings where not_judged is null and technician is not null
        and technician <> 'several'
    )
    where anonymous
),
told as (
    select
        sums.* replace (
            case when by_1 = 'technician' then coalesce(number, label_1) else label_1 end as label_1,
            case when by_2 = 'technician' then coalesce(number, label_2) else label_2 end as label_2
        )
    from sums
    left join numbers
        on numbers.technician = case when by_1 = 'technician' then label_1 when by_2 = 'technician' then label_2 end
),
by_car as (
    select
        split_by,
        case when split_by = 'overall' then 'all' else concat_ws(' / ', label_1, label_2) end as "group",
        response,
        added_settings(sums) as sums,
        cast(sum(columns('^(first|come_back)_')) as bigint) as "\0"
    from told
    cross join splits
    group by split_by, "group", response, vehicle
),
by_group as (
    select
        split_by,
        "group",
        response,
        added_settings(sums) as sums,
        car_sums(sums) as cars,
        cast(sum(columns('^(first|come_back)_')) as bigint) as "\0"
    from by_car
    group by split_by, "group", response
    union all by name
    -- A car is of one chassis.
    select split_by, "group", response, added_settings(stored) as sums, added_cars(stored) as cars
    from stored
    group by split_by, "group", response
)
select by_group.* exclude (sums, cars), unnest(sums), unnest(cars)
from by_group;
