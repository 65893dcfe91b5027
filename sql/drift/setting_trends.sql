-- title: Creep or step
-- grain: one row per vehicle, front corner, kit and camber or caster with at least 6 points over at least 3 sessions
-- source: setting_tracks
-- kept: as a view
-- missing: none
-- A point is the mean of the states of a visit, which share its set-up; a session has one before and one after the running.
-- Three models of the setting-corrected level: it held (mean), it creeps (straight line over the sessions run), it stepped once (two
-- means, at least two points each). The one with the lowest Bayesian information criterion (n (ln 2 pi + 1 + ln RSS/n) + ln n times
-- 2, 3 and 4 numbers, as R's strucchange counts) where it beats the others by 2, else unclear. Creep and step need besides that an F test
-- refutes the mean (refuting_square), so that at most 5 % of tracks that held are told to move.
-- column chassis VARCHAR: platform code
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR
-- column kit VARCHAR: NULL = original mount
-- column response VARCHAR: camber_deg caster_deg
-- column point_count BIGINT: points
-- column session_count BIGINT: sessions run between the first and the last
-- column creep_deg_per_session DOUBLE [deg]: slope of the line, least squares
-- column creep_std_error_deg DOUBLE [deg]: its standard error
-- column creep_low_deg DOUBLE [deg]: 95 % t interval
-- column creep_high_deg DOUBLE [deg]: 95 % t interval
-- column step_deg DOUBLE [deg]: best single step, later mean less earlier
-- column step_point BIGINT: last point before it
-- column step_visit VARCHAR: visit of the first point after it
-- column held_square_deg2 DOUBLE [deg2]: residual sum of squares about the mean
-- column creep_square_deg2 DOUBLE [deg2]: about the line
-- column step_square_deg2 DOUBLE [deg2]: about the two means
-- column held_criterion DOUBLE: information criterion
-- column creep_criterion DOUBLE: information criterion
-- column step_criterion DOUBLE: information criterion
-- column pattern VARCHAR: held creep step unclear
with
points as (
    select
        any_value(chassis) as chassis,
        vehicle,
        corner,
        kit,
        response,
        min(point) as point,
        max(session_count) as session_count,
        exact_mean(level_deg) as level_deg,
        visit
    from setting_tracks
    group by vehicle, corner, kit, response, visit, case when visit_kind = 'session' then phase end
),
tracks as (
    select
        any_value(chassis) as chassis,
        vehicle,
        corner,
        kit,
        response,
        count(*) as n,
        max(session_count) - min(session_count) as session_count,
        list(cast(session_count as double) order by point) as sessions,
        list(level_deg order by point) as levels,
        list(visit order by point) as visits
    from points
    group by vehicle, corner, kit, response
    having n >= 6 and max(session_count) - min(session_count) >= 3
),
fitted as (
    select
        *,
        squares_about_mean(levels) as held_square,
        squares_about_mean(sessions) as xx,
        cross_products(sessions, levels) as xy,
        best_step(levels, 2) as step
    from tracks
),
compared as (
    select
        *,
        xy / xx as creep,
        greatest(held_square - xy * xy / xx, 0) as creep_square,
        sqrt(creep_square / (n - 2) / xx) as creep_se,
        information_criterion(n, held_square, 2) as held_criterion,
        information_criterion(n, creep_square, 3) as creep_criterion,
        information_criterion(n, step.square, 4) as step_criterion
    from fitted
)
select
    chassis,
    vehicle,
    corner,
    kit,
    response,
    n as point_count,
    session_count,
    creep as creep_deg_per_session,
    creep_se as creep_std_error_deg,
    creep - t_quantile(0.975, n - 2) * creep_se as creep_low_deg,
    creep + t_quantile(0.975, n - 2) * creep_se as creep_high_deg,
    step.step as step_deg,
    step.last as step_point,
    visits[step.last + 1] as step_visit,
    held_square as held_square_deg2,
    creep_square as creep_square_deg2,
    step.square as step_square_deg2,
    held_criterion,
    creep_criterion,
    step_criterion,
    case
        when held_criterion + 2 <= least(creep_criterion, step_criterion) then 'held'
        when creep_criterion + 2 <= least(held_criterion, step_criterion)
            and creep_square < refuting_square(n, held_square, 1) then 'creep'
        when step_criterion + 2 <= least(held_criterion, creep_criterion)
            and step.square < refuting_square(n, held_square, n - 3) then 'step'
        else 'unclear'
    end as pattern
from compared
