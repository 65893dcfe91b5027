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
-- own: own_error; z: own_share; short: stopped_short; u_square: sums of the squares of the uncertainties of own and z; true: of
-- those of true angles, bias: the part of the bias in them.
create or replace temp macro setting_sums(
    verdict, hit, end_of_scale, far_off, own, u, apart_u, true_u, z, tolerance, short
) as {
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
    'z_true_square_sum': sum(micro(case when z is not null then true_u / tolerance * (true_u / tolerance) end)),
    'z_bias_square_sum': sum(micro(
        case when z is not null then (true_u * true_u - apart_u * apart_u) / (tolerance * tolerance) end
    )),
    'edge_count': count(*) filter (where abs(z) > 0.75 and abs(z) <= 1),
    'before_edge_count': count(*) filter (where abs(z) > 0.5 and abs(z) <= 0.75),
    'came_count': count(short),
    'short_sum': sum(micro(short)),
    'short_square': moment(short, short)
};
-- Such structs added up, as one struct.
create or replace temp macro added_settings(sums) as {
    'count': cast(sum(struct_extract(sums, 'count')) as bigint),
    'in_count': cast(sum(struct_extract(sums, 'in_count')) as bigint),
    'out_count': cast(sum(struct_extract(sums, 'out_count')) as bigint),
    'undecided_count': cast(sum(struct_extract(sums, 'undecided_count')) as bigint),
    'hit_count': cast(sum(struct_extract(sums, 'hit_count')) as bigint),
    'end_of_scale_count': cast(sum(struct_extract(sums, 'end_of_scale_count')) as bigint),
    'far_off_count': cast(sum(struct_extract(sums, 'far_off_count')) as bigint),
    'own_count': cast(sum(struct_extract(sums, 'own_count')) as bigint),
    'own_sum': sum(struct_extract(sums, 'own_sum')),
    'own_square': sum(struct_extract(sums, 'own_square')),
    'own_u_square_sum': sum(struct_extract(sums, 'own_u_square_sum')),
    'z_count': cast(sum(struct_extract(sums, 'z_count')) as bigint),
    'z_sum': sum(struct_extract(sums, 'z_sum')),
    'z_square': sum(struct_extract(sums, 'z_square')),
    'z_u_square_sum': sum(struct_extract(sums, 'z_u_square_sum')),
    'z_true_square_sum': sum(struct_extract(sums, 'z_true_square_sum')),
    'z_bias_square_sum': sum(struct_extract(sums, 'z_bias_square_sum')),
    'edge_count': cast(sum(struct_extract(sums, 'edge_count')) as bigint),
    'before_edge_count': cast(sum(struct_extract(sums, 'before_edge_count')) as bigint),
    'came_count': cast(sum(struct_extract(sums, 'came_count')) as bigint),
    'short_sum': sum(struct_extract(sums, 'short_sum')),
    'short_square': sum(struct_extract(sums, 'short_square'))
};
-- Structs of one car each, what their squares add up to, as one struct: they add up over groups that share no car. x_y_cars: sum over the
-- cars of x times y; see icc.
create or replace temp macro car_products(x, y) as sum(cast(x as hugeint) * cast(y as hugeint));
create or replace temp macro car_sums(sums) as {
    'car_count': count(*),
    'hit_hit_cars': car_products(struct_extract(sums, 'hit_count'), struct_extract(sums, 'hit_count')),
    'hit_count_cars': car_products(struct_extract(sums, 'hit_count'), struct_extract(sums, 'count')),
    'count_count_cars': car_products(struct_extract(sums, 'count'), struct_extract(sums, 'count')),
    'z_z_cars': car_products(struct_extract(sums, 'z_sum'), struct_extract(sums, 'z_sum')),
    'z_count_cars': car_products(struct_extract(sums, 'z_sum'), struct_extract(sums, 'z_count')),
    'z_count_count_cars': car_products(struct_extract(sums, 'z_count'), struct_extract(sums, 'z_count')),
    'short_short_cars': car_products(struct_extract(sums, 'short_sum'), struct_extract(sums, 'short_sum')),
    'short_count_cars': car_products(struct_extract(sums, 'short_sum'), struct_extract(sums, 'came_count')),
    'came_count_cars': car_products(struct_extract(sums, 'came_count'), struct_extract(sums, 'came_count'))
};
-- Those of groups added up.
create or replace temp macro added_cars(cars) as {
    'car_count': sum(struct_extract(cars, 'car_count')),
    'hit_hit_cars': sum(struct_extract(cars, 'hit_hit_cars')),
    'hit_count_cars': sum(struct_extract(cars, 'hit_count_cars')),
    'count_count_cars': sum(struct_extract(cars, 'count_count_cars')),
    'z_z_cars': sum(struct_extract(cars, 'z_z_cars')),
    'z_count_cars': sum(struct_extract(cars, 'z_count_cars')),
    'z_count_count_cars': sum(struct_extract(cars, 'z_count_count_cars')),
    'short_short_cars': sum(struct_extract(cars, 'short_short_cars')),
    'short_count_cars': sum(struct_extract(cars, 'short_count_cars')),
    'came_count_cars': sum(struct_extract(cars, 'came_count_cars'))
};
