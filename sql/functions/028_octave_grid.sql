-- The nearest of the numbers of which `steps` lie within a factor of two, so that a sliver of new data leaves it as it was;
-- at most 2^(1 / (2 steps)) off, with 16 steps 2.2 %. 0 and NULL stay what they are. x: positive, any unit; steps: a number.
create or replace temp macro octave_grid(x, steps) as case when x > 0 then power(2, round(steps * log2(x)) / steps) else x end
