-- title: Sizes that a cause on the whole car may have
-- grain: one row per component of a cause
-- source: common practice, no source; a cradle moved sideways is the same as both bearings moved the other way (exact geometry)
-- missing: none
-- Sizes are normal about 0.
-- column cause VARCHAR: see drift_causes
-- column component VARCHAR: name, unique
-- column share DOUBLE: share within the cause
-- column sd DOUBLE: standard deviation of the size, in degrees, millimetres for the cradle
-- column effect VARCHAR: what a size of 1 does
select
    cause,
    component,
    cast(share as double) as share,
    cast(sd as double) as sd,
    effect
from (
    values
        ('cradle_moved', 'cradle', 1, 3, 'the left bearing moves inboard, the right one outboard'),
        (
            'reference_rolled', 'roll', 1, 0.25,
            'camber of both axles up on the left and down on the right, SAI of the fronts the other way'
        ),
        ('gauge_zero', 'camber zero', 0.5, 0.25, 'camber of all corners up'),
        ('gauge_zero', 'caster zero', 0.3, 0.4, 'caster of both fronts up'),
        ('gauge_zero', 'toe zero', 0.2, 0.12, 'toe of all corners reads more, though the wheels stand as before'),
        ('steering_off', 'steering', 1, 0.25, 'toe up on the left front and down on the right one')
) as components(cause, component, share, sd, effect)
