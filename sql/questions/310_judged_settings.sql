-- Settings that can be judged, with the decision: inside, outside or undecided with a guard band of `guard` standard
-- uncertainties, of the true angle; p_inside: probability that it lies inside, from this reading alone; hit: inside the tolerance as read; far_off: see is_far_off.
create or replace temp macro judged_settings(guard) as table
select
    * exclude (not_judged),
    strftime(measured_ts, '%Y-%m') as month,
    p_within(true_error_deg, -tol_deg, tol_deg, u_deg) as p_inside,
    conformity(true_error_deg, tol_deg, u_deg, guard) as verdict,
    is_hit(error_deg, tol_deg) as hit,
    is_far_off(error_deg, tol_deg, u_deg, end_of_scale) as far_off
from target_settings
where not_judged is null;
