-- title: What may have happened over a session, with prior odds
-- grain: one row per cause
-- source: common practice, no source; the odds give way to data, see drift_odds, and a config file may set them
-- missing: none
-- column place INTEGER: order in lists of likelihoods
-- column cause VARCHAR: name
-- column class VARCHAR: held plate_moved bent other
-- column level VARCHAR: corner (one front), car (both fronts and the rears together)
-- column prior_share DOUBLE: share of corner sessions, or car sessions
-- column prior_count DOUBLE: number of sessions that the prior counts as
-- column meaning VARCHAR: in words
with
listed as (
    select *
    from (
        values
            (1, 'plate_slipped', 'plate_moved', 'corner', 0.10, 'the bearing moved in its plate'),
            (2, 'mount_moved', 'plate_moved', 'corner', 0.005, 'the plate moved on the tower, or the tower itself'),
            (3, 'spindle_bent', 'bent', 'corner', 0.01, 'knuckle or spindle bent, or rim run-out'),
            (4, 'strut_bent', 'bent', 'corner', 0.01, 'strut bent, or strut-to-knuckle bolts moved'),
            (5, 'tie_rod_turned', 'other', 'corner', 0.01, 'tie rod turned or bent'),
            (6, 'lower_arm_moved', 'other', 'corner', 0.005, 'lower arm, its bracket or bush moved'),
            (7, 'misread', 'other', 'corner', 0.005, 'one reading is wrong'),
            (8, 'unexplained', 'other', 'corner', 0.002, 'several angles changed in no known pattern'),
            (1, 'cradle_moved', 'other', 'car', 0.005, 'cradle moved sideways'),
            (2, 'reference_rolled', 'other', 'car', 0.02, 'floor, or reference of the gauge, rolled'),
            (3, 'gauge_zero', 'other', 'car', 0.01, 'zero of the gauge, or rake of the car, changed'),
            (4, 'steering_off', 'other', 'car', 0.01, 'steering not straight in one of the readings')
    ) as causes(place, cause, class, level, prior_share, meaning)
),
remainders as (
    select
        0 as place,
        'held' as cause,
        'held' as class,
        'corner' as level,
        1 - sum(prior_share) as prior_share,
        'nothing moved' as meaning
    from listed
    where level = 'corner'
    union all
    select
        0 as place,
        'none' as cause,
        'held' as class,
        'car' as level,
        1 - sum(prior_share) as prior_share,
        'nothing happened to the whole car' as meaning
    from listed
    where level = 'car'
)
select
    cast(place as integer) as place,
    cause,
    class,
    level,
    cast(prior_share as double) as prior_share,
    cast(40 as double) as prior_count,
    meaning
from (select * from remainders union all by name select * from listed)
