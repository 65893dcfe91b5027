-- title: Marginal likelihoods of what may have happened in a session
-- grain: one row per session visit with a front that can be compared
-- source: session_corners, sensitivities, slip_ends, rear_terms, drift_components, car_components
-- missing: lists of a front are NULL where it cannot be compared, and then it counts as held and adds nothing; of its slips also where
-- it cannot slide
-- Sizes, slopes' uncertainty, ways of the rears and angles not read are integrated out. Without a cause on the car the fronts are
-- independent; with one, both fronts and the rears are taken together, and at most one front has slipped besides. Relative to the
-- likeliest without a cause on the car, or, where a visit is far from everything, to what it cannot exceed, so that no number overflows.
-- column chassis VARCHAR: platform code
-- column vehicle VARCHAR: one car
-- column visit VARCHAR: visit
-- column front_count INTEGER: fronts that can be compared
-- column none DOUBLE: no cause on the car, of the likeliest causes on the fronts
-- column left_alone DOUBLE[]: of each cause and size class on the left front, see front_likelihoods
-- column right_alone DOUBLE[]: on the right front
-- column both_held DOUBLE[]: of each cause on the car, in the order of drift_causes, while the fronts held
-- column left_slips DOUBLE[]: of each cause on the car and size class of a slip of the left front besides
-- column right_slips DOUBLE[]: of the right front
with
car as (
    select *
    from (select component, {'sd': sd, 'precision': 1 / sd / sd, 'share': share} as car from car_components)
    pivot (any_value(car) for component in ('cradle', 'roll', 'camber zero', 'caster zero', 'toe zero', 'steering'))
),
fronts as not materialized (
    select
        *,
        weighed(front, 0, 0, 0, 0, 1) as weights,
        weighed_with_cradle(front, 0, 1, cradle.sd) as cradle_weights
    from front_likelihoods('session_corners', 'sensitivities', 'slip_ends', 'drift_components')
    cross join car
),
held_fronts as materialized (
    select
        front.chassis as chassis,
        front.vehicle as vehicle,
        front.corner as corner,
        front.visit as visit,
        slip_front(front) as front,
        held_front(front, weights, cradle_weights) as held,
        noise_log_det(front) as log_det,
        likelihoods,
        log_likelihood
    from fronts
),
-- Materialised, so that the arithmetic runs over plain columns.
visits as materialized (
    select
        cast(row_number() over () as integer) as number,
        coalesce(lefts.chassis, rights.chassis) as chassis,
        coalesce(lefts.vehicle, rights.vehicle) as vehicle,
        coalesce(lefts.visit, rights.visit) as visit,
        lefts.front as left_front,
        rights.front as right_front,
        coalesce(lefts.held, no_front()) as left_held,
        coalesce(rights.held, no_front()) as right_held,
        lefts.likelihoods as left_alone,
        rights.likelihoods as right_alone,
        coalesce(lefts.log_likelihood, 0) + coalesce(rights.log_likelihood, 0) as fronts_log,
        coalesce(rear_terms.log_likelihood, 0) as rears_log,
        greatest(
            fronts_log + rears_log,
            -(coalesce(lefts.log_det, 0) + coalesce(rights.log_det, 0) + coalesce(rear_terms.log_det, 0)) / 2 - 600
        ) as scale_log,
        rear_ways(shares, deviances, roll_linear, camber_quadratic) as roll_ways,
        rear_ways(shares, deviances, camber_linear, camber_quadratic) as camber_ways,
        rear_ways(shares, deviances, toe_linear, toe_quadratic) as toe_ways
    from (select * from held_fronts where corner = 'FL') as lefts
    full join (select * from held_fronts where corner = 'FR') as rights on rights.vehicle = lefts.vehicle and rights.visit = lefts.visit
    left join rear_terms
        on rear_terms.vehicle = coalesce(lefts.vehicle, rights.vehicle) and rear_terms.visit = coalesce(lefts.visit, rights.visit)
),
sides as not materialized (
    select 2 * number as side, left_front as front, right_held as other, rears_log, scale_log, roll_ways, camber_ways, toe_ways
    from visits
    union all
    select 2 * number + 1 as side, right_front as front, left_held as other, rears_log, scale_log, roll_ways, camber_ways, toe_ways
    from visits
),
beside as not materialized (
    select
        side,
        front,
        slot_products(front) as slot,
        -other.deviance / 2 - scale_log as log_other,
        beside_alone(rears_log - other.cradle_deviance / 2 - scale_log, other.cradle, cradle) as beside_cradle,
        beside_rears(log_other, other.roll, roll_ways, roll) as beside_roll,
        beside_rears(log_other, other.camber, camber_ways, "camber zero") as beside_camber,
        beside_alone(rears_log + log_other, other.caster, "caster zero") as beside_caster,
        beside_rears(log_other, other.toe, toe_ways, "toe zero") as beside_toe,
        beside_alone(rears_log + log_other, other.steering, steering) as beside_steering,
        cradle.sd * cradle.sd as cradle_square
    from sides
    cross join car
),
slips as (
    select sizes as size_class from drift_components as sizes where pattern = 'slip'
),
slots as (
    select
        beside.*,
        slot_size(size_class) as size,
        coalesce(front.up_shares[size_class.component], 1) / 2 as up,
        coalesce(front.down_shares[size_class.component], 1) / 2 as down
    from (select * from beside where front.freedom = 'slot') as beside
    cross join slips
),
slots_weighed as (
    select *, slot_weighed(front, size, 0) as slip, slot_weighed(front, size, cradle_square) as cradle_slip from slots
),
slots_summed as (
    select * replace (slot_summed(slot, slip) as slip, slot_summed(slot, cradle_slip) as cradle_slip) from slots_weighed
),
slots_gained as (
    select * replace (slot_gained(slip) as slip, slot_gained(cradle_slip) as cradle_slip) from slots_summed
),
slots_slipped as (
    select * replace (slot_slipped(slip) as slip, slot_slipped(cradle_slip) as cradle_slip) from slots_gained
),
slots_pulled as (
    select
        side,
        size.component as size,
        cast(null as integer) as direction,
        up,
        down,
        columns('^beside_'),
        {'even': slip.even, 'odd': slip.odd} as move,
        {'even': cradle_slip.even, 'odd': cradle_slip.odd} as cradle_move,
        slot_pull_cradle(front, cradle_slip) as cradle_pull,
        slot_pull_roll(front, slip) as roll_pull,
        slot_pull_camber(front, slip) as camber_pull,
        slot_pull_caster(front, slip) as caster_pull,
        slot_pull_toe(front, slip, front.toe_read_part, 1) as toe_pull,
        slot_pull_toe(front, slip, -front.toe_part, front.side) as steering_pull
    from slots_slipped
),
planes as (
    select
        beside.*,
        sized_slip(front, size_class) as size,
        direction,
        cos(radians(45 * direction)) as way_1,
        sin(radians(45 * direction)) as way_2
    from (select * from beside where front.freedom = 'plane') as beside
    cross join slips
    cross join (select unnest([0, 1, 2, 3]) as direction)
),
planes_weighed as (
    select
        *,
        weighed_slip(front, size) as slip,
        {'size': size, 'weights': weighed_with_cradle(front, size.square, 0, sqrt(cradle_square))} as cradle_slip
    from planes
),
planes_multiplied as (
    select * replace (slip_products(front, slip) as slip, slip_products(front, cradle_slip) as cradle_slip) from planes_weighed
),
planes_gained as (
    select * replace (slip_gain(slip) as slip, slip_gain(cradle_slip) as cradle_slip) from planes_multiplied
),
planes_moved as (
    select * replace (integrated_slip(slip) as slip, integrated_slip(cradle_slip) as cradle_slip) from planes_gained
),
planes_pulls as (
    select
        *,
        pull_cradle(front, cradle_slip.weights, front.side) as cradle_pull,
        pull_roll(front, slip.weights, front.side) as roll_pull,
        pull_camber(front, slip.weights) as camber_pull,
        pull_caster(front, slip.weights) as caster_pull,
        pull_toe(front, slip.weights, front.toe_read_part, 1) as toe_pull,
        pull_toe(front, slip.weights, -front.toe_part, front.side) as steering_pull
    from planes_moved
),
planes_pulled as (
    select
        side,
        size.component as size,
        direction,
        cast(0.125 as double) as up,
        cast(0.125 as double) as down,
        columns('^beside_'),
        slipped(slip, way_1, way_2) as move,
        slipped(cradle_slip, way_1, way_2) as cradle_move,
        pulled(cradle_pull, cradle_slip, way_1, way_2) as cradle_pull,
        pulled(roll_pull, slip, way_1, way_2) as roll_pull,
        pulled(camber_pull, slip, way_1, way_2) as camber_pull,
        pulled(caster_pull, slip, way_1, way_2) as caster_pull,
        pulled(toe_pull, slip, way_1, way_2) as toe_pull,
        pulled(steering_pull, slip, way_1, way_2) as steering_pull
    from planes_pulls
),
joined as (
    select
        side,
        size,
        direction,
        up,
        down,
        move,
        cradle_move,
        joined_alone(cradle_pull, beside_cradle) as cradle_moved,
        joined_rears(roll_pull, beside_roll) as rolled,
        joined_rears(camber_pull, beside_camber) as camber_zero,
        joined_alone(caster_pull, beside_caster) as caster_zero,
        joined_rears(toe_pull, beside_toe) as toe_zero,
        joined_alone(steering_pull, beside_steering) as steered
    from (select * from slots_pulled union all select * from planes_pulled)
),
terms as materialized (
    select
        side,
        size,
        direction,
        slip_alone(cradle_move, cradle_moved, up, down) * (sqrt(2) / cradle.sd) as cradle_moved,
        slip_with_rears(move, rolled, up, down) * (sqrt(2) / roll.sd) as reference_rolled,
        slip_with_rears(move, camber_zero, up, down) * ("camber zero".share * sqrt(2) / "camber zero".sd)
            + slip_alone(move, caster_zero, up, down) * ("caster zero".share * sqrt(2) / "caster zero".sd)
            + slip_with_rears(move, toe_zero, up, down) * ("toe zero".share * sqrt(2) / "toe zero".sd) as gauge_zero,
        slip_alone(move, steered, up, down) * (sqrt(2) / steering.sd) as steering_off
    from joined
    cross join car
),
-- The directions of a plane added in one order.
by_size as materialized (
    select side, size, cradle_moved, reference_rolled, gauge_zero, steering_off from terms where direction is null
    union all
    select
        side,
        size,
        max(columns('^(.*_(?:moved|rolled|zero|off))$')) filter (where direction = 0)
            + max(columns('^(.*_(?:moved|rolled|zero|off))$')) filter (where direction = 1)
            + max(columns('^(.*_(?:moved|rolled|zero|off))$')) filter (where direction = 2)
            + max(columns('^(.*_(?:moved|rolled|zero|off))$')) filter (where direction = 3)
    from terms
    where direction is not null
    group by side, size
),
-- Joins, which cost less than filtered aggregates.
slipped_sides as (
    select
        side,
        [
            one.cradle_moved, two.cradle_moved, three.cradle_moved, four.cradle_moved, five.cradle_moved, six.cradle_moved,
            one.reference_rolled, two.reference_rolled, three.reference_rolled, four.reference_rolled, five.reference_rolled, six.reference_rolled,
            one.gauge_zero, two.gauge_zero, three.gauge_zero, four.gauge_zero, five.gauge_zero, six.gauge_zero,
            one.steering_off, two.steering_off, three.steering_off, four.steering_off, five.steering_off, six.steering_off
        ] as slips
    from (select * from by_size where size = 1) as one
    inner join (select * from by_size where size = 2) as two using (side)
    inner join (select * from by_size where size = 3) as three using (side)
    inner join (select * from by_size where size = 4) as four using (side)
    inner join (select * from by_size where size = 5) as five using (side)
    inner join (select * from by_size where size = 6) as six using (side)
),
pairs as (
    select
        *,
        -(left_held.deviance + right_held.deviance) / 2 - scale_log as held_even,
        -(left_held.cradle_deviance + right_held.cradle_deviance) / 2 - scale_log as cradle_even,
        both_pull(left_held.cradle, right_held.cradle) as cradle_pull,
        both_pull(left_held.roll, right_held.roll) as roll_pull,
        both_pull(left_held.camber, right_held.camber) as camber_pull,
        both_pull(left_held.caster, right_held.caster) as caster_pull,
        both_pull(left_held.toe, right_held.toe) as toe_pull,
        both_pull(left_held.steering, right_held.steering) as steering_pull
    from visits
    cross join car
),
-- By itself, so that the joins carry no more than this.
visits_held as (
    select
        number,
        chassis,
        vehicle,
        visit,
        cast((left_alone is not null)::integer + (right_alone is not null)::integer as integer) as front_count,
        greatest(exp(fronts_log + rears_log - scale_log), 1e-300) as none,
        left_alone,
        right_alone,
        [
            held_alone(cradle_even, rears_log, cradle_pull, cradle),
            held_with_rears(held_even, roll_pull, roll_ways, roll),
            "camber zero".share * held_with_rears(held_even, camber_pull, camber_ways, "camber zero")
                + "caster zero".share * held_alone(held_even, rears_log, caster_pull, "caster zero")
                + "toe zero".share * held_with_rears(held_even, toe_pull, toe_ways, "toe zero"),
            held_alone(held_even, rears_log, steering_pull, steering)
        ] as both_held
    from pairs
)
select
    chassis,
    vehicle,
    visit,
    front_count,
    none,
    left_alone,
    right_alone,
    both_held,
    left_slips.slips as left_slips,
    right_slips.slips as right_slips
from visits_held
left join slipped_sides as left_slips on left_slips.side = 2 * visits_held.number
left join slipped_sides as right_slips on right_slips.side = 2 * visits_held.number + 1
