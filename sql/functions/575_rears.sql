-- What a rear (row of session_noise) says of a cause on the car, see rear_terms, when these variances are added to its noise.
create or replace temp macro rear_term(rear, camber_more, toe_more) as {
    'log_det': coalesce(ln(rear.camber_var_deg2 + camber_more), 0) + coalesce(ln(rear.toe_var_deg2 + toe_more), 0),
    'deviance': coalesce(
        rear.camber_change_deg * rear.camber_change_deg / (rear.camber_var_deg2 + camber_more) + ln(rear.camber_var_deg2 + camber_more), 0
    ) + coalesce(rear.toe_change_deg * rear.toe_change_deg / (rear.toe_var_deg2 + toe_more) + ln(rear.toe_var_deg2 + toe_more), 0),
    'camber': coalesce(rear.camber_change_deg / (rear.camber_var_deg2 + camber_more), 0),
    'camber_square': coalesce(1 / (rear.camber_var_deg2 + camber_more), 0),
    'toe': coalesce(rear.toe_change_deg / (rear.toe_var_deg2 + toe_more), 0),
    'toe_square': coalesce(1 / (rear.toe_var_deg2 + toe_more), 0)
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
