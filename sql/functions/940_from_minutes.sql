-- Minutes of a number written as degrees.minutes: 30 for 1.30.
create or replace temp macro minutes_part(x) as round((abs(x) - floor(abs(x) + 1e-9)) * 100, 6);
-- Degrees meant by it; NULL where the digits after the point are over .59.
create or replace temp macro from_minutes(x) as
    case when minutes_part(x) < 59.5 then sign(x) * (floor(abs(x) + 1e-9) + minutes_part(x) / 60) end;
-- The last number of a degree up to .59 on a display with this step (deg), 1 or less.
create or replace temp macro last_minutes(step_deg) as floor(0.595 / step_deg) * step_deg;
-- Share of normal numbers (deg) whose digits after the point would be .59 or less on a display with this step.
create or replace temp macro share_of_minutes(step_deg, middle_deg, sd_deg) as greatest(least(list_sum([
    normal_cdf((floor(middle_deg) + whole + last_minutes(step_deg) + step_deg / 2 - middle_deg) / sd_deg)
        - normal_cdf((floor(middle_deg) + whole - step_deg / 2 - middle_deg) / sd_deg)
    for whole in range(-6, 7)
]), 1), 0.5);
