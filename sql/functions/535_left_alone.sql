-- Whether a change is within 2.5 of its standard deviations; an angle that was not compared says nothing against it.
create or replace temp macro left_alone(change, sd) as coalesce(abs(change) <= 2.5 * sd, true);
-- Change of means over sqrt(1 / readings before + 1 / readings after): its standard deviation is that of one reading.
create or replace temp macro change_of_one(change, before_count, after_count) as
    change / sqrt(1.0 / before_count + 1.0 / after_count);
