-- Toe as millimetres at a diameter: D sin(toe).
create or replace temp macro toe_in_mm(toe_deg, diameter_mm) as diameter_mm * sin(radians(toe_deg));
