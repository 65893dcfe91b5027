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
-- Log likelihood of a front that slipped along (way_1, way_2) of its two ways, constants left out: what both signs share, and what turns
-- with the sign.
create or replace temp macro slipped(slip, way_1, way_2) as {
    'even': -(
        slip.move.deviance + slip.size.mean * slip.size.mean * (
            (way_1) * (way_1) * slip.move.k_11 + 2 * (way_1) * (way_2) * slip.move.k_12 + (way_2) * (way_2) * slip.move.k_22
        )
    ) / 2,
    'odd': slip.size.mean * ((way_1) * slip.move.h_1 + (way_2) * slip.move.h_2)
};
-- The pull on that front: its linear part is less by shift for a slip up the scale and more for one down.
create or replace temp macro pulled(pull, slip, way_1, way_2) as {
    'linear': pull.ay - slip.size.var * (pull.a_1 * slip.move.h_1 + pull.a_2 * slip.move.h_2),
    'quadratic': pull.aa - slip.size.var * (
        slip.gain.g_11 * pull.a_1 * pull.a_1 + 2 * slip.gain.g_12 * pull.a_1 * pull.a_2 + slip.gain.g_22 * pull.a_2 * pull.a_2
    ),
    'shift': slip.size.mean * (
        (way_1) * (slip.gain.g_11 * pull.a_1 + slip.gain.g_12 * pull.a_2) + (way_2) * (slip.gain.g_12 * pull.a_1 + slip.gain.g_22 * pull.a_2)
    )
};
-- The same along a slot, which has one way, with fewer numbers: `slot` has products of the effects of the slip (e) and the changes (y).
-- First the weights, with the variances of a slip of this size and of a move of the cradle of mean square `across`.
create or replace temp macro slot_products(front) as {
    'camber_ee': front.camber_1 * front.camber_1, 'camber_ey': front.camber_1 * front.camber_deg, 'camber_yy': front.camber_deg * front.camber_deg,
    'caster_ee': front.caster_1 * front.caster_1, 'caster_ey': front.caster_1 * front.caster_deg, 'caster_yy': front.caster_deg * front.caster_deg,
    'sai_ee': front.sai_1 * front.sai_1, 'sai_ey': front.sai_1 * front.sai_deg, 'sai_yy': front.sai_deg * front.sai_deg,
    'toe_ee': front.toe_1 * front.toe_1, 'toe_ey': front.toe_1 * front.toe_deg, 'toe_yy': front.toe_deg * front.toe_deg,
    'pointer_ee': front.pointer_read / front.pointer_var
        * (front.pointer_1_out * front.pointer_1_out + front.pointer_1_aft * front.pointer_1_aft),
    'pointer_ey': front.pointer_read / front.pointer_var
        * (front.pointer_1_out * front.pointer_out_mm + front.pointer_1_aft * front.pointer_aft_mm),
    'pointer_yy': front.pointer_read / front.pointer_var
        * (front.pointer_out_mm * front.pointer_out_mm + front.pointer_aft_mm * front.pointer_aft_mm) + 2 * ln(front.pointer_var)
};
create or replace temp macro slot_size(component) as {
    'component': component.component,
    'mean': component.mean,
    'var': component.sd * component.sd,
    'square': component.mean * component.mean + component.sd * component.sd
};
create or replace temp macro slot_weighed(front, size, across) as {
    'size': size,
    'w_camber': front.camber_read / (front.camber_var + size.square * front.camber_slip_var + (across) * front.camber_across_var),
    'w_caster': front.caster_read / (front.caster_var + size.square * front.caster_slip_var + (across) * front.caster_across_var),
    'w_sai': front.sai_read / (front.sai_var + size.square * front.sai_slip_var + (across) * front.sai_across_var),
    'w_toe': front.toe_read / (front.toe_var + size.square * front.toe_slip_var + (across) * front.toe_across_var),
    'det': (front.camber_var + size.square * front.camber_slip_var + (across) * front.camber_across_var)
        * (front.caster_var + size.square * front.caster_slip_var + (across) * front.caster_across_var)
        * (front.sai_var + size.square * front.sai_slip_var + (across) * front.sai_across_var)
        * (front.toe_var + size.square * front.toe_slip_var + (across) * front.toe_across_var)
};
create or replace temp macro slot_summed(slot, x) as {
    'size': x.size, 'w_camber': x.w_camber, 'w_caster': x.w_caster, 'w_sai': x.w_sai, 'w_toe': x.w_toe, 'det': x.det,
    'ee': x.w_camber * slot.camber_ee + x.w_caster * slot.caster_ee + x.w_sai * slot.sai_ee + x.w_toe * slot.toe_ee + slot.pointer_ee,
    'ey': x.w_camber * slot.camber_ey + x.w_caster * slot.caster_ey + x.w_sai * slot.sai_ey + x.w_toe * slot.toe_ey + slot.pointer_ey,
    'yy': x.w_camber * slot.camber_yy + x.w_caster * slot.caster_yy + x.w_sai * slot.sai_yy + x.w_toe * slot.toe_yy + slot.pointer_yy
};
create or replace temp macro slot_gained(x) as {
    'size': x.size, 'w_camber': x.w_camber, 'w_caster': x.w_caster, 'w_sai': x.w_sai, 'w_toe': x.w_toe, 'det': x.det,
    'ee': x.ee, 'ey': x.ey, 'yy': x.yy, 'gain': 1 / (1 + x.size.var * x.ee)
};
-- As slipped has it, and what the pulls lose by the slip.
create or replace temp macro slot_slipped(x) as {
    'component': x.size.component, 'w_camber': x.w_camber, 'w_caster': x.w_caster, 'w_sai': x.w_sai, 'w_toe': x.w_toe,
    'even': -(x.yy + ln(x.det / x.gain) + x.gain * (x.size.mean * x.size.mean * x.ee - x.size.var * x.ey * x.ey)) / 2,
    'odd': x.size.mean * x.gain * x.ey,
    'less': x.size.var * x.gain * x.ey,
    'square': x.size.var * x.gain,
    'shift': x.size.mean * x.gain
};
-- Log likelihood of that slip, up or down the scale.
create or replace temp macro slot_log(front, slip) as
    slip.even + log_add(
        slip.odd + ln(coalesce(front.up_shares[slip.component], 1)), ln(coalesce(front.down_shares[slip.component], 1)) - slip.odd
    ) - ln(2);
create or replace temp macro slot_pulled(aa, ay, a, slip) as {
    'linear': (ay) - slip.less * (a), 'quadratic': (aa) - slip.square * (a) * (a), 'shift': slip.shift * (a)
};
create or replace temp macro slot_pull_roll(front, slip) as
    slot_pulled(
        slip.w_camber + slip.w_sai, front.side * (slip.w_camber * front.camber_deg - slip.w_sai * front.sai_deg),
        front.side * (slip.w_camber * front.camber_1 - slip.w_sai * front.sai_1), slip
    );
create or replace temp macro slot_pull_camber(front, slip) as
    slot_pulled(slip.w_camber, slip.w_camber * front.camber_deg, slip.w_camber * front.camber_1, slip);
create or replace temp macro slot_pull_caster(front, slip) as
    slot_pulled(slip.w_caster, slip.w_caster * front.caster_deg, slip.w_caster * front.caster_1, slip);
create or replace temp macro slot_pull_toe(front, slip, part, side) as
    slot_pulled(
        slip.w_camber * (part) * (part) + slip.w_toe, (side) * (slip.w_camber * front.camber_deg * (part) + slip.w_toe * front.toe_deg),
        (side) * (slip.w_camber * front.camber_1 * (part) + slip.w_toe * front.toe_1), slip
    );
create or replace temp macro slot_pull_cradle(front, slip) as
    slot_pulled(
        slip.w_camber * front.camber_out * front.camber_out + slip.w_caster * front.caster_out * front.caster_out
            + slip.w_sai * front.sai_out * front.sai_out + slip.w_toe * front.toe_out * front.toe_out,
        -front.side * (
            slip.w_camber * front.camber_deg * front.camber_out + slip.w_caster * front.caster_deg * front.caster_out
                + slip.w_sai * front.sai_deg * front.sai_out + slip.w_toe * front.toe_deg * front.toe_out
        ),
        -front.side * (
            slip.w_camber * front.camber_1 * front.camber_out + slip.w_caster * front.caster_1 * front.caster_out
                + slip.w_sai * front.sai_1 * front.sai_out + slip.w_toe * front.toe_1 * front.toe_out
        ),
        slip
    );
-- The four ways of the rears (see rear_terms) for one cause; without rears the first way is sure.
create or replace temp macro rear_way_log(shares, deviances, way, without) as
    case when shares is null then without when shares[way] > 0 then ln(shares[way]) - deviances[way] / 2 else cast(-1e9 as double) end;
create or replace temp macro rear_ways(shares, deviances, linear, quadratic) as {
    'log_1': rear_way_log(shares, deviances, 1, cast(0 as double)), 'linear_1': coalesce(linear[1], 0), 'quadratic_1': coalesce(quadratic[1], 0),
    'log_2': rear_way_log(shares, deviances, 2, cast(-1e9 as double)), 'linear_2': coalesce(linear[2], 0), 'quadratic_2': coalesce(quadratic[2], 0),
    'log_3': rear_way_log(shares, deviances, 3, cast(-1e9 as double)), 'linear_3': coalesce(linear[3], 0), 'quadratic_3': coalesce(quadratic[3], 0),
    'log_4': rear_way_log(shares, deviances, 4, cast(-1e9 as double)), 'linear_4': coalesce(linear[4], 0), 'quadratic_4': coalesce(quadratic[4], 0)
};
-- Likelihoods with the size of the cause on the car integrated out, while the fronts held.
create or replace temp macro held_term(log_even, linear, quadratic, car) as
    exp((log_even) + (linear) * (linear) / ((quadratic) + car.precision) / 2) / (car.sd * sqrt((quadratic) + car.precision));
-- The same of causes that leave the rears alone, and of those that do not.
create or replace temp macro held_alone(log_even, rears_log, pull, car) as
    held_term((log_even) + rears_log, pull.linear, pull.quadratic, car);
create or replace temp macro held_with_rears(log_even, pull, ways, car) as
    held_term((log_even) + ways.log_1, pull.linear + ways.linear_1, pull.quadratic + ways.quadratic_1, car)
        + held_term((log_even) + ways.log_2, pull.linear + ways.linear_2, pull.quadratic + ways.quadratic_2, car)
        + held_term((log_even) + ways.log_3, pull.linear + ways.linear_3, pull.quadratic + ways.quadratic_3, car)
        + held_term((log_even) + ways.log_4, pull.linear + ways.linear_4, pull.quadratic + ways.quadratic_4, car);
-- A front that slipped up or down its scale: what the rest of the car (`other` front held, rears) adds to even, linear and quadratic,
-- worked out once for all sizes of the slip; with rears, one entry per way.
create or replace temp macro beside_alone(base, other, car) as {
    'base': base, 'linear': other.linear, 'quadratic': other.quadratic + car.precision
};
create or replace temp macro beside_rears(base, other, ways, car) as {
    'base_1': (base) + ways.log_1, 'linear_1': other.linear + ways.linear_1, 'quadratic_1': other.quadratic + ways.quadratic_1 + car.precision,
    'base_2': (base) + ways.log_2, 'linear_2': other.linear + ways.linear_2, 'quadratic_2': other.quadratic + ways.quadratic_2 + car.precision,
    'base_3': (base) + ways.log_3, 'linear_3': other.linear + ways.linear_3, 'quadratic_3': other.quadratic + ways.quadratic_3 + car.precision,
    'base_4': (base) + ways.log_4, 'linear_4': other.linear + ways.linear_4, 'quadratic_4': other.quadratic + ways.quadratic_4 + car.precision
};
-- Both together: linear, and half of one over quadratic.
create or replace temp macro joined_alone(pull, beside) as {
    'base': beside.base, 'shift': pull.shift, 'linear': pull.linear + beside.linear, 'half': 0.5::double / (pull.quadratic + beside.quadratic)
};
create or replace temp macro joined_rears(pull, beside) as {
    'shift': pull.shift,
    'base_1': beside.base_1, 'linear_1': pull.linear + beside.linear_1, 'half_1': 0.5::double / (pull.quadratic + beside.quadratic_1),
    'base_2': beside.base_2, 'linear_2': pull.linear + beside.linear_2, 'half_2': 0.5::double / (pull.quadratic + beside.quadratic_2),
    'base_3': beside.base_3, 'linear_3': pull.linear + beside.linear_3, 'half_3': 0.5::double / (pull.quadratic + beside.quadratic_3),
    'base_4': beside.base_4, 'linear_4': pull.linear + beside.linear_4, 'half_4': 0.5::double / (pull.quadratic + beside.quadratic_4)
};
-- Their likelihood times sd / sqrt(2), the size of the cause on the car integrated out.
create or replace temp macro slip_term(move, base, shift, linear, half, up, down) as
    sqrt(half) * (
        up * exp(move.even + base + half * (linear * linear + shift * shift) + (move.odd - 2 * half * linear * shift))
        + down * exp(move.even + base + half * (linear * linear + shift * shift) - (move.odd - 2 * half * linear * shift))
    );
create or replace temp macro slip_alone(move, x, up, down) as slip_term(move, x.base, x.shift, x.linear, x.half, up, down);
create or replace temp macro slip_with_rears(move, x, up, down) as
    slip_term(move, x.base_1, x.shift, x.linear_1, x.half_1, up, down) + slip_term(move, x.base_2, x.shift, x.linear_2, x.half_2, up, down)
        + slip_term(move, x.base_3, x.shift, x.linear_3, x.half_3, up, down)
        + slip_term(move, x.base_4, x.shift, x.linear_4, x.half_4, up, down);
-- What slips need to know of a front.
create or replace temp macro slip_front(front) as {
    'side': front.side, 'freedom': front.freedom, 'camber_deg': front.camber_deg, 'caster_deg': front.caster_deg,
    'sai_deg': front.sai_deg, 'toe_deg': front.toe_deg, 'pointer_out_mm': front.pointer_out_mm,
    'pointer_aft_mm': front.pointer_aft_mm, 'camber_read': front.camber_read, 'caster_read': front.caster_read,
    'sai_read': front.sai_read, 'toe_read': front.toe_read, 'pointer_read': front.pointer_read,
    'camber_var': front.camber_var, 'caster_var': front.caster_var, 'sai_var': front.sai_var,
    'toe_var': front.toe_var, 'pointer_var': front.pointer_var, 'toe_part': front.toe_part,
    'toe_read_part': front.toe_read_part, 'camber_out': front.camber_out, 'caster_out': front.caster_out,
    'sai_out': front.sai_out, 'toe_out': front.toe_out, 'camber_across_var': front.camber_across_var,
    'caster_across_var': front.caster_across_var, 'sai_across_var': front.sai_across_var,
    'toe_across_var': front.toe_across_var, 'pointer_1_out': front.pointer_1_out,
    'pointer_1_aft': front.pointer_1_aft, 'pointer_2_out': front.pointer_2_out,
    'pointer_2_aft': front.pointer_2_aft, 'camber_1': front.camber_1, 'caster_1': front.caster_1,
    'sai_1': front.sai_1, 'toe_1': front.toe_1, 'camber_2': front.camber_2, 'caster_2': front.caster_2,
    'sai_2': front.sai_2, 'toe_2': front.toe_2, 'camber_slip_var': front.camber_slip_var,
    'caster_slip_var': front.caster_slip_var, 'sai_slip_var': front.sai_slip_var,
    'toe_slip_var': front.toe_slip_var, 'up_shares': front.up_shares, 'down_shares': front.down_shares
};
-- Logarithm of the determinant of the noise of a front.
create or replace temp macro noise_log_det(front) as
    ln(front.camber_var * front.caster_var * front.sai_var * front.toe_var) + 2 * ln(front.pointer_var);
