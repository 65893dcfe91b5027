-- The angle of `response` in words: camber, caster, SAI, toe.
create or replace temp macro angle_name(response) as if(response = 'sai_deg', 'SAI', replace(response, '_deg', ''));
