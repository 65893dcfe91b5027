-- Likelihoods of what happened to a front over a session; `front` is a row of compared_fronts. -2 ln likelihood is deviance: residuals
-- weighted, plus ln of the determinant of their covariance, constants left out that all causes share.
-- Weights of the changes (w_*: one over the variance, 0 where not read) and the deviance of no change, when a cause adds the variances
-- given to the noise.
create or replace temp macro weighed(front, camber_more, caster_more, sai_more, toe_more, pointer_more) as {
    'w_camber': front.camber_read / (front.camber_var + front.camber_read * (camber_more)),
    'w_caster': front.caster_read / (front.caster_var + front.caster_read * (caster_more)),
    'w_sai': front.sai_read / (front.sai_var + front.sai_read * (sai_more)),
    'w_toe': front.toe_read / (front.toe_var + front.toe_read * (toe_more)),
    'w_pointer': front.pointer_read / (front.pointer_var + front.pointer_read * (pointer_more)),
    'log_det': ln(
        (front.camber_var + front.camber_read * (camber_more)) * (front.caster_var + front.caster_read * (caster_more))
            * (front.sai_var + front.sai_read * (sai_more)) * (front.toe_var + front.toe_read * (toe_more))
    ) + 2 * ln(front.pointer_var + front.pointer_read * (pointer_more))
};
create or replace temp macro deviance(front, w) as
    w.w_camber * front.camber_deg * front.camber_deg + w.w_caster * front.caster_deg * front.caster_deg
        + w.w_sai * front.sai_deg * front.sai_deg + w.w_toe * front.toe_deg * front.toe_deg
        + w.w_pointer * (front.pointer_out_mm * front.pointer_out_mm + front.pointer_aft_mm * front.pointer_aft_mm) + w.log_det;
-- A cause of one direction with effects on the angles: deviance without it, weighted products of effect and change, of effect and
-- effect.
create or replace temp macro one_way(front, w, camber, caster, sai, toe, component) as {
    'deviance': deviance(front, w),
    'ey': w.w_camber * (camber) * front.camber_deg + w.w_caster * (caster) * front.caster_deg + w.w_sai * (sai) * front.sai_deg
        + w.w_toe * (toe) * front.toe_deg,
    'ee': w.w_camber * (camber) * (camber) + w.w_caster * (caster) * (caster) + w.w_sai * (sai) * (sai) + w.w_toe * (toe) * (toe),
    'component': component
};
-- Log likelihood of a cause of one direction (see one_way), its size integrated out: normal about plus and about minus the mean
-- (Woodbury).
create or replace temp macro log_either_sign(x) as
    ln(x.component.share) + log_cosh(x.component.mean * x.ey / (1 + x.component.sd * x.component.sd * x.ee))
        - (
            x.deviance + ln(1 + x.component.sd * x.component.sd * x.ee)
                + (x.component.mean * x.component.mean * x.ee - x.component.sd * x.component.sd * x.ey * x.ey)
                    / (1 + x.component.sd * x.component.sd * x.ee)
        ) / 2;
-- A move in two directions (columns *_1 and *_2 of `effect`): weighted products of the effects with each other and with the change.
create or replace temp macro two_ways(front, w, effect) as {
    's_11': w.w_camber * effect.camber_1 * effect.camber_1 + w.w_caster * effect.caster_1 * effect.caster_1
        + w.w_sai * effect.sai_1 * effect.sai_1 + w.w_toe * effect.toe_1 * effect.toe_1
        + w.w_pointer * (effect.pointer_1_out * effect.pointer_1_out + effect.pointer_1_aft * effect.pointer_1_aft),
    's_12': w.w_camber * effect.camber_1 * effect.camber_2 + w.w_caster * effect.caster_1 * effect.caster_2
        + w.w_sai * effect.sai_1 * effect.sai_2 + w.w_toe * effect.toe_1 * effect.toe_2
        + w.w_pointer * (effect.pointer_1_out * effect.pointer_2_out + effect.pointer_1_aft * effect.pointer_2_aft),
    's_22': w.w_camber * effect.camber_2 * effect.camber_2 + w.w_caster * effect.caster_2 * effect.caster_2
        + w.w_sai * effect.sai_2 * effect.sai_2 + w.w_toe * effect.toe_2 * effect.toe_2
        + w.w_pointer * (effect.pointer_2_out * effect.pointer_2_out + effect.pointer_2_aft * effect.pointer_2_aft),
    'y_1': w.w_camber * effect.camber_1 * front.camber_deg + w.w_caster * effect.caster_1 * front.caster_deg
        + w.w_sai * effect.sai_1 * front.sai_deg + w.w_toe * effect.toe_1 * front.toe_deg
        + w.w_pointer * (effect.pointer_1_out * front.pointer_out_mm + effect.pointer_1_aft * front.pointer_aft_mm),
    'y_2': w.w_camber * effect.camber_2 * front.camber_deg + w.w_caster * effect.caster_2 * front.caster_deg
        + w.w_sai * effect.sai_2 * front.sai_deg + w.w_toe * effect.toe_2 * front.toe_deg
        + w.w_pointer * (effect.pointer_2_out * front.pointer_out_mm + effect.pointer_2_aft * front.pointer_aft_mm),
    'deviance': deviance(front, w)
};
-- (1 + var s)^-1 for the products s of two_ways: what is left of them once the size is integrated out, `var` in either direction.
create or replace temp macro gain(s, var) as {
    'g_11': (1 + (var) * s.s_22) / ((1 + (var) * s.s_11) * (1 + (var) * s.s_22) - (var) * (var) * s.s_12 * s.s_12),
    'g_12': -(var) * s.s_12 / ((1 + (var) * s.s_11) * (1 + (var) * s.s_22) - (var) * (var) * s.s_12 * s.s_12),
    'g_22': (1 + (var) * s.s_11) / ((1 + (var) * s.s_11) * (1 + (var) * s.s_22) - (var) * (var) * s.s_12 * s.s_12),
    'log_det': ln((1 + (var) * s.s_11) * (1 + (var) * s.s_22) - (var) * (var) * s.s_12 * s.s_12)
};
-- Deviance of the move with mean size 0; with mean m it is less by 2 m'h and more by m'k m.
create or replace temp macro integrated(s, g, var) as {
    'h_1': g.g_11 * s.y_1 + g.g_12 * s.y_2,
    'h_2': g.g_12 * s.y_1 + g.g_22 * s.y_2,
    'k_11': s.s_11 * g.g_11 + s.s_12 * g.g_12,
    'k_12': s.s_11 * g.g_12 + s.s_12 * g.g_22,
    'k_22': s.s_12 * g.g_12 + s.s_22 * g.g_22,
    'deviance': s.deviance + g.log_det
        - (var) * (g.g_11 * s.y_1 * s.y_1 + 2 * g.g_12 * s.y_1 * s.y_2 + g.g_22 * s.y_2 * s.y_2)
};
-- Log likelihood of a move (see integrated) along one of the eight directions of a plane or its opposite, and the list of all.
create or replace temp macro log_around(move, mean, way_1, way_2) as
    log_cosh((mean) * ((way_1) * move.h_1 + (way_2) * move.h_2)) - ln(4) - (
        move.deviance
        + (mean) * (mean) * ((way_1) * (way_1) * move.k_11 + 2 * (way_1) * (way_2) * move.k_12 + (way_2) * (way_2) * move.k_22)
    ) / 2;
create or replace temp macro logs_around(move, mean) as [
    log_around(move, mean, 1, 0), log_around(move, mean, sqrt(0.5), sqrt(0.5)), log_around(move, mean, 0, 1),
    log_around(move, mean, -sqrt(0.5), sqrt(0.5))
];
