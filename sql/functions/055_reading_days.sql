-- The day on which a reading was taken, by its text; and whether it can be true. A reading cannot be younger than its load: the day
-- after is allowed for zones and clocks. None is older than the computers: 1900, 1904, 1970 and 1980-01-01 are what a blank date becomes.
create or replace temp macro reading_day(measured_at) as try_cast(left(measured_at, 10) as date);
create or replace temp macro day_after_load(day, loaded_at) as coalesce(day > cast(loaded_at as date) + 1, false);
create or replace temp macro day_too_old(day) as coalesce(day <= date '1980-01-01', false);
