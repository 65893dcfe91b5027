-- A setting inside its tolerance as read.
create or replace temp macro is_hit(error, tolerance) as abs(error) <= tolerance + 1e-9;
-- Missed by over 5 tolerances and 20 standard uncertainties with no scale end to blame, as mistakes of writing do.
create or replace temp macro is_far_off(error, tolerance, u, end_of_scale) as
    abs(error) > greatest(5 * tolerance, 20 * u) and not end_of_scale;
-- An error that tells of the hands: NULL for a miss at the end of the scale and for one far off.
create or replace temp macro own_error(error, tolerance, u, end_of_scale) as
    case when not end_of_scale and not is_far_off(error, tolerance, u, end_of_scale) then error end;
-- The same in tolerances; NULL for a tolerance of 0 too.
create or replace temp macro own_share(error, tolerance, u, end_of_scale) as
    case when tolerance > 0 then own_error(error, tolerance, u, end_of_scale) / tolerance end;
-- Error in tolerances towards the side from which the setting came; beyond two tolerances it is a mistake of writing.
create or replace temp macro stopped_short(error, tolerance, found_error, at_end) as
    case
        when abs(found_error) > tolerance and not at_end and tolerance > 0
            then least(greatest(error / tolerance * sign(found_error), -2), 2)
    end;
-- Counts and exact sums of settings that were judged, as one struct: they add up over groups. *_sum: sum of micro(); *_square: moment().
-- own_*: of own_error, z_*: of own_share, u_*: of the squares of the uncertainties of both, short_*: of stopped_short.
create or replace temp macro setting_sums(error, tolerance, u, found_error, at_end, end_of_scale, guard) as {
    'count': count(*),
    'in_count': count(*) filter (where conformity(error, tolerance, u, guard) = 'inside'),
    'out_count': count(*) filter (where conformity(error, tolerance, u, guard) = 'outside'),
    'undecided_count': count(*) filter (where conformity(error, tolerance, u, guard) = 'undecided'),
    'hit_count': count(*) filter (where is_hit(error, tolerance)),
    'end_of_scale_count': count(*) filter (where end_of_scale),
    'far_off_count': count(*) filter (where is_far_off(error, tolerance, u, end_of_scale)),
    'own_count': count(own_error(error, tolerance, u, end_of_scale)),
    'own_sum': sum(micro(own_error(error, tolerance, u, end_of_scale))),
    'own_square': moment(own_error(error, tolerance, u, end_of_scale), own_error(error, tolerance, u, end_of_scale)),
    'own_u_square_sum': sum(micro(case when own_error(error, tolerance, u, end_of_scale) is not null then u * u end)),
    'z_count': count(own_share(error, tolerance, u, end_of_scale)),
    'z_sum': sum(micro(own_share(error, tolerance, u, end_of_scale))),
    'z_square': moment(own_share(error, tolerance, u, end_of_scale), own_share(error, tolerance, u, end_of_scale)),
    'z_u_square_sum': sum(micro(
        case when own_share(error, tolerance, u, end_of_scale) is not null then u / tolerance * (u / tolerance) end
    )),
    'edge_count': count(*) filter (
        where abs(own_share(error, tolerance, u, end_of_scale)) > 0.75 and abs(own_share(error, tolerance, u, end_of_scale)) <= 1
    ),
    'before_edge_count': count(*) filter (
        where abs(own_share(error, tolerance, u, end_of_scale)) > 0.5 and abs(own_share(error, tolerance, u, end_of_scale)) <= 0.75
    ),
    'came_count': count(stopped_short(error, tolerance, found_error, at_end)),
    'short_sum': sum(micro(stopped_short(error, tolerance, found_error, at_end))),
    'short_square': moment(stopped_short(error, tolerance, found_error, at_end), stopped_short(error, tolerance, found_error, at_end))
};
