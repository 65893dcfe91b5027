-- Settings that can be judged, with the decision: inside, outside or undecided with a guard band of `guard` standard
-- uncertainties; hit: inside the tolerance as read; far_off: missed by over 5 tolerances and 20 standard uncertainties with no
-- scale end to blame, as mistakes of writing do.
create or replace temp macro judged_settings(guard) as table
select
    * exclude (not_judged),
    strftime(measured_ts, '%Y-%m') as month,
    conformity(error_deg, tol_deg, u_deg, guard) as verdict,
    abs(error_deg) <= tol_deg + 1e-9 as hit,
    abs(error_deg) > greatest(5 * tol_deg, 20 * u_deg) and not end_of_scale as far_off
from target_settings
where not_judged is null;
