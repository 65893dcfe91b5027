-- title: Sizes that a cause may have, as normal components
-- grain: one row per component of a cause on one corner, and freedom of the plate
-- source: common practice, no source; in millimetres for slips, degrees for the others
-- missing: freedom is NULL where it does not matter
-- The size of an event is a mixture of normal densities about the means here, so that its likelihood has a closed form. Slips
-- under half a millimetre count as held. A size class has odds of its own, which the data correct.
-- column cause VARCHAR: see drift_causes
-- column size INTEGER: size class within the cause
-- column freedom VARCHAR: slot plane; see session_corners
-- column pattern VARCHAR: which angles follow, see drift_effects
-- column mean_1 DOUBLE: mean along the slot, outboard in a plane, or of the angle
-- column mean_2 DOUBLE: mean rearward in a plane
-- column sd DOUBLE: standard deviation about the mean
-- column size_share DOUBLE: share of the size class within the cause
-- column share DOUBLE: share of the component within the size class
with
sizes as (
    select *
    from (
        values
            ('plate_slipped', 1, 1.2, 0.4, 0.20),
            ('plate_slipped', 2, 2.0, 0.5, 0.25),
            ('plate_slipped', 3, 3.0, 0.6, 0.20),
            ('plate_slipped', 4, 4.2, 0.7, 0.15),
            ('plate_slipped', 5, 6.0, 1.1, 0.12),
            ('plate_slipped', 6, 9.0, 2.0, 0.08),
            ('mount_moved', 1, 3.0, 1.2, 1.0)
    ) as sizes(cause, size, mean, sd, size_share)
),
signs as (
    select unnest([-1, 1]) as sign
),
directions as (
    select radians(45 * unnest(range(8))) as direction
),
angles as (
    select *
    from (
        values
            ('spindle_bent', 1, 'spindle', 0.3, 0.12, 0.30, 1.0),
            ('spindle_bent', 2, 'spindle', 0.6, 0.20, 0.40, 1.0),
            ('spindle_bent', 3, 'spindle', 1.1, 0.40, 0.30, 1.0),
            ('strut_bent', 1, 'strut', 0.3, 0.12, 0.30, 1.0),
            ('strut_bent', 2, 'strut', 0.6, 0.20, 0.40, 1.0),
            ('strut_bent', 3, 'strut', 1.1, 0.40, 0.30, 1.0),
            ('tie_rod_turned', 1, 'toe', 0.12, 0.06, 1.0, 0.40),
            ('tie_rod_turned', 1, 'toe', 0.3, 0.12, 1.0, 0.35),
            ('tie_rod_turned', 1, 'toe', 0.8, 0.40, 1.0, 0.25),
            ('lower_arm_moved', 1, 'arm_toe_in', 0.15, 0.07, 1.0, 0.20),
            ('lower_arm_moved', 1, 'arm_toe_in', 0.35, 0.15, 1.0, 0.15),
            ('lower_arm_moved', 1, 'arm_toe_out', 0.15, 0.07, 1.0, 0.20),
            ('lower_arm_moved', 1, 'arm_toe_out', 0.35, 0.15, 1.0, 0.15),
            ('lower_arm_moved', 1, 'caster', 0.4, 0.20, 1.0, 0.20),
            ('lower_arm_moved', 1, 'caster', 1.0, 0.50, 1.0, 0.10)
    ) as angles(cause, size, pattern, mean, sd, size_share, share)
),
single as (
    select *
    from (
        values
            ('held', 'held', 0.0, 1.0),
            ('misread', 'spindle', 1.0, 0.25),
            ('misread', 'caster', 2.0, 0.25),
            ('misread', 'sai', 2.0, 0.25),
            ('misread', 'toe_read', 1.0, 0.25),
            ('unexplained', 'unexplained', 0.0, 1.0)
    ) as single(cause, pattern, sd, share)
),
components as (
    select cause, size, 'slot' as freedom, 'slip' as pattern, sign * mean as mean_1, 0 as mean_2, sd, size_share, 0.5 as share
    from sizes
    cross join signs
    where cause = 'plate_slipped'
    union all
    -- Eight directions, wide enough to close the ring.
    select
        cause, size, 'plane' as freedom, 'slip' as pattern, mean * cos(direction) as mean_1, mean * sin(direction) as mean_2,
        greatest(sd, 0.38 * mean) as sd, size_share, 0.125 as share
    from sizes
    cross join directions
    where cause = 'plate_slipped'
    union all
    select
        cause, size, freedom, 'move' as pattern, mean * cos(direction) as mean_1, mean * sin(direction) as mean_2, sd, size_share,
        0.125 as share
    from sizes
    cross join directions
    cross join (select unnest(['slot', 'none']) as freedom)
    where cause = 'mount_moved'
    union all
    select cause, size, null as freedom, pattern, sign * mean as mean_1, 0 as mean_2, sd, size_share, share / 2 as share
    from angles
    cross join signs
    union all
    select cause, 1 as size, null as freedom, pattern, 0 as mean_1, 0 as mean_2, sd, 1 as size_share, share
    from single
)
select
    cause,
    cast(size as integer) as size,
    freedom,
    pattern,
    cast(mean_1 as double) as mean_1,
    cast(mean_2 as double) as mean_2,
    cast(sd as double) as sd,
    cast(size_share as double) as size_share,
    cast(share as double) as share
from components
