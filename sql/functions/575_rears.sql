-- What a rear says of a cause on the car: see rear_terms; an angle that was not read is NULL.
create or replace temp macro rear_term(camber_deg, camber_var, toe_deg, toe_var) as {
    'log_det': coalesce(ln(camber_var), 0) + coalesce(ln(toe_var), 0),
    'deviance': coalesce(camber_deg * camber_deg / (camber_var) + ln(camber_var), 0)
        + coalesce(toe_deg * toe_deg / (toe_var) + ln(toe_var), 0),
    'camber': coalesce(camber_deg / (camber_var), 0),
    'camber_square': coalesce(1 / (camber_var), 0),
    'toe': coalesce(toe_deg / (toe_var), 0),
    'toe_square': coalesce(1 / (toe_var), 0)
};
-- Log likelihood of a rear without a cause on the car: as it was (same), or changed with probability p.
create or replace temp macro rear_alone(same, changed, p) as
    case when p > 0 then log_add(ln(1 - p) - same.deviance / 2, ln(p) - changed.deviance / 2) else cast(0 as double) end;
-- Both rears together.
create or replace temp macro rear_way(left_term, right_term) as {
    'deviance': left_term.deviance + right_term.deviance,
    'roll': left_term.camber - right_term.camber,
    'camber': left_term.camber + right_term.camber,
    'camber_square': left_term.camber_square + right_term.camber_square,
    'toe': left_term.toe + right_term.toe,
    'toe_square': left_term.toe_square + right_term.toe_square
};
