-- Likelihoods of a cause on the whole car, whose size z is normal about 0 with standard deviation sd. A front, or both rears, pull with
-- -2 ln likelihood = deviance - 2 z linear + z^2 quadratic.
-- Weighted products of the effect a of each cause on a front with itself (aa), the changes (ay) and the effects of a slip (a_1, a_2);
-- side is 1 on the left, -1 on the right. Angles: roll of the reference moves camber against SAI, a toe cause moves toe by toe and
-- camber by part.
create or replace temp macro pull_roll(front, w, side) as {
    'aa': w.w_camber + w.w_sai,
    'ay': side * (w.w_camber * front.camber_deg - w.w_sai * front.sai_deg),
    'a_1': side * (w.w_camber * front.camber_1 - w.w_sai * front.sai_1),
    'a_2': side * (w.w_camber * front.camber_2 - w.w_sai * front.sai_2)
};
create or replace temp macro pull_camber(front, w) as {
    'aa': w.w_camber, 'ay': w.w_camber * front.camber_deg, 'a_1': w.w_camber * front.camber_1, 'a_2': w.w_camber * front.camber_2
};
create or replace temp macro pull_caster(front, w) as {
    'aa': w.w_caster, 'ay': w.w_caster * front.caster_deg, 'a_1': w.w_caster * front.caster_1, 'a_2': w.w_caster * front.caster_2
};
create or replace temp macro pull_toe(front, w, part, side) as {
    'aa': w.w_camber * (part) * (part) + w.w_toe,
    'ay': side * (w.w_camber * front.camber_deg * (part) + w.w_toe * front.toe_deg),
    'a_1': side * (w.w_camber * front.camber_1 * (part) + w.w_toe * front.toe_1),
    'a_2': side * (w.w_camber * front.camber_2 * (part) + w.w_toe * front.toe_2)
};
-- A cradle moved sideways is a move of both bearings the other way.
create or replace temp macro pull_cradle(front, w, side) as {
    'aa': w.w_camber * front.camber_out * front.camber_out + w.w_caster * front.caster_out * front.caster_out
        + w.w_sai * front.sai_out * front.sai_out + w.w_toe * front.toe_out * front.toe_out,
    'ay': -side * (w.w_camber * front.camber_deg * front.camber_out + w.w_caster * front.caster_deg * front.caster_out
        + w.w_sai * front.sai_deg * front.sai_out + w.w_toe * front.toe_deg * front.toe_out),
    'a_1': -side * (w.w_camber * front.camber_1 * front.camber_out + w.w_caster * front.caster_1 * front.caster_out
        + w.w_sai * front.sai_1 * front.sai_out + w.w_toe * front.toe_1 * front.toe_out),
    'a_2': -side * (w.w_camber * front.camber_2 * front.camber_out + w.w_caster * front.caster_2 * front.caster_out
        + w.w_sai * front.sai_2 * front.sai_out + w.w_toe * front.toe_2 * front.toe_out)
};
-- Weights of a front with a slip of mean square `square` (0: none; then the pointer is misread by `pointer` mm2) while the cradle moved.
create or replace temp macro weighed_with_cradle(front, square, pointer, cradle_sd) as
    weighed(
        front, (square) * front.camber_slip_var + (cradle_sd) * (cradle_sd) * front.camber_across_var,
        (square) * front.caster_slip_var + (cradle_sd) * (cradle_sd) * front.caster_across_var,
        (square) * front.sai_slip_var + (cradle_sd) * (cradle_sd) * front.sai_across_var,
        (square) * front.toe_slip_var + (cradle_sd) * (cradle_sd) * front.toe_across_var, pointer
    );
-- What a front that held adds to the likelihood of each cause; 0 where there is none.
create or replace temp macro held_pull(pull) as {'linear': coalesce(pull.ay, 0), 'quadratic': coalesce(pull.aa, 0)};
create or replace temp macro held_front(front, w, w_cradle) as {
    'deviance': coalesce(deviance(front, w), 0),
    'cradle_deviance': coalesce(deviance(front, w_cradle), 0),
    'cradle': held_pull(pull_cradle(front, w_cradle, front.side)),
    'roll': held_pull(pull_roll(front, w, front.side)),
    'camber': held_pull(pull_camber(front, w)),
    'caster': held_pull(pull_caster(front, w)),
    'toe': held_pull(pull_toe(front, w, front.toe_read_part, 1)),
    'steering': held_pull(pull_toe(front, w, -front.toe_part, front.side))
};
create or replace temp macro no_pull() as {'linear': cast(0 as double), 'quadratic': cast(0 as double)};
create or replace temp macro no_front() as {
    'deviance': cast(0 as double), 'cradle_deviance': cast(0 as double), 'cradle': no_pull(), 'roll': no_pull(), 'camber': no_pull(),
    'caster': no_pull(), 'toe': no_pull(), 'steering': no_pull()
};
create or replace temp macro both_pull(left_pull, right_pull) as {
    'linear': left_pull.linear + right_pull.linear, 'quadratic': left_pull.quadratic + right_pull.quadratic
};
-- The pull on a front that slipped along (way_1, way_2) of its two ways, together with the other front's: its linear part is less by shift
-- for a slip up the scale and more for one down.
create or replace temp macro pulled(pull, slip, way_1, way_2, other) as {
    'linear': pull.ay - slip.size.var * (pull.a_1 * slip.move.h_1 + pull.a_2 * slip.move.h_2) + other.linear,
    'quadratic': pull.aa + other.quadratic - slip.size.var * (
        slip.gain.g_11 * pull.a_1 * pull.a_1 + 2 * slip.gain.g_12 * pull.a_1 * pull.a_2 + slip.gain.g_22 * pull.a_2 * pull.a_2
    ),
    'shift': slip.size.mean * (
        (way_1) * (slip.gain.g_11 * pull.a_1 + slip.gain.g_12 * pull.a_2) + (way_2) * (slip.gain.g_12 * pull.a_1 + slip.gain.g_22 * pull.a_2)
    )
};
-- Log likelihood of that slip while the other front held, without a cause on the car: what both signs share, and what turns with the sign.
create or replace temp macro slipped(slip, way_1, way_2, other_deviance, scale_log) as {
    'even': -(
        slip.move.deviance + other_deviance + slip.size.mean * slip.size.mean * (
            (way_1) * (way_1) * slip.move.k_11 + 2 * (way_1) * (way_2) * slip.move.k_12 + (way_2) * (way_2) * slip.move.k_22
        )
    ) / 2 - scale_log,
    'odd': slip.size.mean * ((way_1) * slip.move.h_1 + (way_2) * slip.move.h_2)
};
-- The four ways of the rears (see rear_terms) for one cause; without rears the first way is sure.
create or replace temp macro rear_ways(shares, deviances, linear, quadratic) as {
    'share_1': coalesce(shares[1], 1), 'half_1': coalesce(deviances[1], 0) / 2, 'linear_1': coalesce(linear[1], 0), 'quadratic_1': coalesce(quadratic[1], 0),
    'share_2': coalesce(shares[2], 0), 'half_2': coalesce(deviances[2], 0) / 2, 'linear_2': coalesce(linear[2], 0), 'quadratic_2': coalesce(quadratic[2], 0),
    'share_3': coalesce(shares[3], 0), 'half_3': coalesce(deviances[3], 0) / 2, 'linear_3': coalesce(linear[3], 0), 'quadratic_3': coalesce(quadratic[3], 0),
    'share_4': coalesce(shares[4], 0), 'half_4': coalesce(deviances[4], 0) / 2, 'linear_4': coalesce(linear[4], 0), 'quadratic_4': coalesce(quadratic[4], 0)
};
-- Likelihoods with the size of the cause on the car integrated out: fronts held, one slipped up or down its scale with these shares.
create or replace temp macro held_term(log_even, linear, quadratic, car) as
    exp((log_even) + (linear) * (linear) / ((quadratic) + car.precision) / 2) / (car.sd * sqrt((quadratic) + car.precision));
create or replace temp macro slip_term(log_even, odd, shift, linear, quadratic, car, up, down) as
    (
        up * exp((log_even) + odd + ((linear) - shift) * ((linear) - shift) / ((quadratic) + car.precision) / 2)
        + down * exp((log_even) - odd + ((linear) + shift) * ((linear) + shift) / ((quadratic) + car.precision) / 2)
    ) / (car.sd * sqrt((quadratic) + car.precision));
-- The same of causes that leave the rears alone, and of those that do not.
create or replace temp macro held_alone(log_even, rears_log, pull, car) as
    held_term((log_even) + rears_log, pull.linear, pull.quadratic, car);
create or replace temp macro slip_alone(move, rears_log, pull, car, up, down) as
    slip_term(move.even + rears_log, move.odd, pull.shift, pull.linear, pull.quadratic, car, up, down);
create or replace temp macro held_with_rears(log_even, pull, ways, car) as
    ways.share_1 * held_term((log_even) - ways.half_1, pull.linear + ways.linear_1, pull.quadratic + ways.quadratic_1, car)
        + ways.share_2 * held_term((log_even) - ways.half_2, pull.linear + ways.linear_2, pull.quadratic + ways.quadratic_2, car)
        + ways.share_3 * held_term((log_even) - ways.half_3, pull.linear + ways.linear_3, pull.quadratic + ways.quadratic_3, car)
        + ways.share_4 * held_term((log_even) - ways.half_4, pull.linear + ways.linear_4, pull.quadratic + ways.quadratic_4, car);
create or replace temp macro slip_with_rears(move, pull, ways, car, up, down) as
    ways.share_1 * slip_term(
        move.even - ways.half_1, move.odd, pull.shift, pull.linear + ways.linear_1, pull.quadratic + ways.quadratic_1, car, up, down
    ) + ways.share_2 * slip_term(
        move.even - ways.half_2, move.odd, pull.shift, pull.linear + ways.linear_2, pull.quadratic + ways.quadratic_2, car, up, down
    ) + ways.share_3 * slip_term(
        move.even - ways.half_3, move.odd, pull.shift, pull.linear + ways.linear_3, pull.quadratic + ways.quadratic_3, car, up, down
    ) + ways.share_4 * slip_term(
        move.even - ways.half_4, move.odd, pull.shift, pull.linear + ways.linear_4, pull.quadratic + ways.quadratic_4, car, up, down
    );
-- What slips need to know of a front. Adding 0 makes plain columns of what a join has only pointed to; arithmetic is several times as fast on
-- these.
create or replace temp macro slip_front(front) as {
    'side': front.side + 0.0, 'freedom': front.freedom, 'camber_deg': front.camber_deg + 0.0, 'caster_deg': front.caster_deg + 0.0,
    'sai_deg': front.sai_deg + 0.0, 'toe_deg': front.toe_deg + 0.0, 'pointer_out_mm': front.pointer_out_mm + 0.0,
    'pointer_aft_mm': front.pointer_aft_mm + 0.0, 'camber_read': front.camber_read + 0.0, 'caster_read': front.caster_read + 0.0,
    'sai_read': front.sai_read + 0.0, 'toe_read': front.toe_read + 0.0, 'pointer_read': front.pointer_read + 0.0,
    'camber_var': front.camber_var + 0.0, 'caster_var': front.caster_var + 0.0, 'sai_var': front.sai_var + 0.0,
    'toe_var': front.toe_var + 0.0, 'pointer_var': front.pointer_var + 0.0, 'toe_part': front.toe_part + 0.0,
    'toe_read_part': front.toe_read_part + 0.0, 'camber_out': front.camber_out + 0.0, 'caster_out': front.caster_out + 0.0,
    'sai_out': front.sai_out + 0.0, 'toe_out': front.toe_out + 0.0, 'camber_across_var': front.camber_across_var + 0.0,
    'caster_across_var': front.caster_across_var + 0.0, 'sai_across_var': front.sai_across_var + 0.0,
    'toe_across_var': front.toe_across_var + 0.0, 'pointer_1_out': front.pointer_1_out + 0.0,
    'pointer_1_aft': front.pointer_1_aft + 0.0, 'pointer_2_out': front.pointer_2_out + 0.0,
    'pointer_2_aft': front.pointer_2_aft + 0.0, 'camber_1': front.camber_1 + 0.0, 'caster_1': front.caster_1 + 0.0,
    'sai_1': front.sai_1 + 0.0, 'toe_1': front.toe_1 + 0.0, 'camber_2': front.camber_2 + 0.0, 'caster_2': front.caster_2 + 0.0,
    'sai_2': front.sai_2 + 0.0, 'toe_2': front.toe_2 + 0.0, 'camber_slip_var': front.camber_slip_var + 0.0,
    'caster_slip_var': front.caster_slip_var + 0.0, 'sai_slip_var': front.sai_slip_var + 0.0,
    'toe_slip_var': front.toe_slip_var + 0.0, 'up_shares': front.up_shares, 'down_shares': front.down_shares
};
-- Logarithm of the determinant of the noise of a front.
create or replace temp macro noise_log_det(front) as
    ln(front.camber_var * front.caster_var * front.sai_var * front.toe_var) + 2 * ln(front.pointer_var);
