-- Cars that a setting card can be made for, newest reading first: every front corner that was ever read sits on a plate whose
-- place and reach are known, with an angle read there. asked_vehicle: only this one, or NULL; at most asked_count.
create or replace temp macro card_cars(asked_vehicle, asked_count) as table
select vehicle, max(measured_ts) as measured_ts, count(*) over () as car_count
from present_corners
where asked_vehicle is null or vehicle = asked_vehicle
group by vehicle
having bool_and(
    offset_out_mm is not null
    and plate_index is not null
    and coalesce(camber_deg, caster_deg) is not null
    and kit in (select kit from plates where mark_min is not null and mark_max is not null)
)
order by measured_ts desc nulls last, vehicle
limit asked_count;
