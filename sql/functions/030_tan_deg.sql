-- Tangent of an angle in degrees.
create or replace temp macro tan_deg(angle_deg) as tan(radians(angle_deg));
