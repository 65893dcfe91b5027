-- Roles in the order from the seat upward, those of which a stack takes one part at most; spacers go between the second and the third.
create or replace temp macro stack_roles() as
    ['bush', 'spring_plate', 'lower_adapter', 'bearing', 'upper_adapter', 'dust_washer', 'nut'];
