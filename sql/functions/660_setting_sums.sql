-- A setting inside its tolerance as read.
create or replace temp macro is_hit(error, tolerance) as abs(error) <= tolerance + 1e-9;
-- Missed by over 5 tolerances and 20 standard uncertainties with no scale end to blame, as mistakes of writing do.
create or replace temp macro is_far_off(error, tolerance, u, end_of_scale) as
    abs(error) > greatest(5 * tolerance, 20 * u) and not end_of_scale;
-- An error that tells of the hands: NULL for a miss at the end of the scale and for one far off.
create or replace temp macro own_error(error, end_of_scale, far_off) as
    case when not end_of_scale and not far_off then error end;
-- Error in tolerances towards the side from which the setting came; beyond two tolerances it is a mistake of writing.
create or replace temp macro stopped_short(error, tolerance, found_error, at_end) as
    case
        when abs(found_error) > tolerance and not at_end and tolerance > 0
            then least(greatest(error / tolerance * sign(found_error), -2), 2)
    end;
-- Counts and exact sums of settings that were judged, as one struct: they add up over groups. *_sum: sum of micro(); *_square: moment().
-- own: own_error; z: own_share; short: stopped_short; u_square: sums of the squares of the uncertainties of own and z.
create or replace temp macro setting_sums(verdict, hit, end_of_scale, far_off, own, u, z, tolerance, short) as {
    'count': count(*),
    'in_count': count(*) filter (where verdict = 'inside'),
    'out_count': count(*) filter (where verdict = 'outside'),
    'undecided_count': count(*) filter (where verdict = 'undecided'),
    'hit_count': count(*) filter (where hit),
    'end_of_scale_count': count(*) filter (where end_of_scale),
    'far_off_count': count(*) filter (where far_off),
    'own_count': count(own),
    'own_sum': sum(micro(own)),
    'own_square': moment(own, own),
    'own_u_square_sum': sum(micro(case when own is not null then u * u end)),
    'z_count': count(z),
    'z_sum': sum(micro(z)),
    'z_square': moment(z, z),
    'z_u_square_sum': sum(micro(case when z is not null then u / tolerance * (u / tolerance) end)),
    'edge_count': count(*) filter (where abs(z) > 0.75 and abs(z) <= 1),
    'before_edge_count': count(*) filter (where abs(z) > 0.5 and abs(z) <= 0.75),
    'came_count': count(short),
    'short_sum': sum(micro(short)),
    'short_square': moment(short, short)
};
