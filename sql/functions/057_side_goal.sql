-- What is wanted of one front corner where left and right are to differ by cross_deg (left minus right).
create or replace temp macro side_goal(corner, middle_deg, cross_deg) as
    round(middle_deg + case corner when 'FL' then cross_deg / 2 when 'FR' then -cross_deg / 2 else 0 end, 6);
