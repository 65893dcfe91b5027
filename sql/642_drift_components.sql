-- title: Sizes that a cause may have, as normal components
-- grain: one row per component of a cause on one corner
-- source: common practice, no source; in millimetres for moves, degrees for the others
-- missing: none
-- The size of an event is a mixture of normal densities about plus and minus the means here, so that its likelihood has a closed
-- form; of moves that are free in a plane, about eight directions. Slips under half a millimetre count as held. A size class has odds
-- of its own, which the data correct.
-- column cause VARCHAR: see drift_causes
-- column size INTEGER: size class within the cause
-- column component INTEGER: number within the pattern of the cause
-- column pattern VARCHAR: which angles follow, see src/stats/drift/patterns.ts
-- column mean DOUBLE: mean of the size, either sign
-- column sd DOUBLE: standard deviation about the mean
-- column size_share DOUBLE: share of the size class within the cause
-- column share DOUBLE: share of the component within the size class, both signs together
select
    cause,
    cast(size as integer) as size,
    cast(component as integer) as component,
    pattern,
    cast(mean as double) as mean,
    cast(sd as double) as sd,
    cast(size_share as double) as size_share,
    cast(share as double) as share
from (
    values
        ('held', 1, 1, 'held', 0, 0, 1, 1),
        ('plate_slipped', 1, 1, 'slip', 1.2, 0.4, 0.20, 1),
        ('plate_slipped', 2, 2, 'slip', 2.0, 0.5, 0.25, 1),
        ('plate_slipped', 3, 3, 'slip', 3.0, 0.6, 0.20, 1),
        ('plate_slipped', 4, 4, 'slip', 4.2, 0.7, 0.15, 1),
        ('plate_slipped', 5, 5, 'slip', 6.0, 1.1, 0.12, 1),
        ('plate_slipped', 6, 6, 'slip', 9.0, 2.0, 0.08, 1),
        ('mount_moved', 1, 1, 'move', 3.0, 1.2, 1, 1),
        ('spindle_bent', 1, 1, 'spindle', 0.3, 0.12, 0.30, 1),
        ('spindle_bent', 2, 2, 'spindle', 0.6, 0.20, 0.40, 1),
        ('spindle_bent', 3, 3, 'spindle', 1.1, 0.40, 0.30, 1),
        ('strut_bent', 1, 1, 'strut', 0.3, 0.12, 0.30, 1),
        ('strut_bent', 2, 2, 'strut', 0.6, 0.20, 0.40, 1),
        ('strut_bent', 3, 3, 'strut', 1.1, 0.40, 0.30, 1),
        ('tie_rod_turned', 1, 1, 'toe', 0.12, 0.06, 1, 0.40),
        ('tie_rod_turned', 1, 2, 'toe', 0.3, 0.12, 1, 0.35),
        ('tie_rod_turned', 1, 3, 'toe', 0.8, 0.40, 1, 0.25),
        ('lower_arm_moved', 1, 1, 'arm_toe_in', 0.15, 0.07, 1, 0.20),
        ('lower_arm_moved', 1, 2, 'arm_toe_in', 0.35, 0.15, 1, 0.15),
        ('lower_arm_moved', 1, 1, 'arm_toe_out', 0.15, 0.07, 1, 0.20),
        ('lower_arm_moved', 1, 2, 'arm_toe_out', 0.35, 0.15, 1, 0.15),
        ('lower_arm_moved', 1, 1, 'caster', 0.4, 0.20, 1, 0.20),
        ('lower_arm_moved', 1, 2, 'caster', 1.0, 0.50, 1, 0.10),
        ('misread', 1, 1, 'camber_misread', 0, 1, 1, 0.25),
        ('misread', 1, 1, 'caster_misread', 0, 2, 1, 0.25),
        ('misread', 1, 1, 'sai_misread', 0, 2, 1, 0.25),
        ('misread', 1, 1, 'toe_misread', 0, 1, 1, 0.25),
        ('unexplained', 1, 1, 'unexplained', 0, 1, 1, 1)
) as components(cause, size, component, pattern, mean, sd, size_share, share)
