-- Times of readings as they are written: a date, or date and time, with or without a zone.
-- wall_time: local wall time to the second; a date alone is its midnight.
create or replace temp macro wall_time(written) as
    try_cast(left(written, case when written[17] = ':' then 19 else 16 end) as timestamp);

-- zone_minutes: what the zone is ahead of UTC; NULL where none is given.
create or replace temp macro zone_minutes(written) as
    case
        when length(written) <= 16 or (length(written) = 19 and written[17] = ':') then null
        when written like '%Z' then 0
        else
            cast(nullif(regexp_extract(written, '([+-])\d\d(:?\d\d)?$', 1), '') || '1' as integer) * (
                60 * cast(nullif(regexp_extract(written, '[+-](\d\d)(:?\d\d)?$', 1), '') as integer)
                + coalesce(try_cast(regexp_extract(written, '[+-]\d\d:?(\d\d)$', 1) as integer), 0)
            )
    end;

-- has_clock: more than a date.
create or replace temp macro has_clock(written) as length(written) > 10;

-- place_in_time: orders the states of a car; phases within a visit. Of two visits at one time the first by name.
create or replace temp macro place_in_time(asked_ts, asked_visit, asked_phase_order) as
    {'ts': coalesce(asked_ts, timestamp '-infinity'), 'visit': asked_visit, 'phase_order': asked_phase_order};
