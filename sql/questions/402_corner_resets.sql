-- Install and adjust visits that set a front corner, with their day. A visit that found and left the bearing at one place by the pointers did not.
create or replace temp macro corner_resets() as table
select vehicle, corner, ordered_ts as set_again_ts, strftime(measured_ts, '%Y-%m-%d') as set_again_on
from settings
where left_behind
    and not coalesce(
        found and kit is not distinct from found_kit
            and abs(offset_out_mm - found_out_mm) < 1e-3 and abs(offset_aft_mm - found_aft_mm) < 1e-3,
        false
    );
