-- title: What the rears say of a cause on the whole car
-- grain: one row per session visit with a rear read before and after
-- source: session_noise
-- missing: an angle that was not read adds nothing
-- A plate cannot move a rear wheel, so the rears are the control: each is as it was, or (3 in 100, common practice, no source) was
-- changed or misread by itself, camber with sd 0.5 deg, toe 0.3 deg. Lists have one entry per way: none changed, the left, the right,
-- both. With z the size of a cause on the car, -2 ln likelihood of a way = deviance - 2 z linear + z^2 quadratic.
-- column chassis VARCHAR: platform code
-- column vehicle VARCHAR: one car
-- column visit VARCHAR: visit
-- column rear_camber_count INTEGER: rears whose camber was read before and after
-- column log_likelihood DOUBLE: of no cause on the car, ways integrated out
-- column log_det DOUBLE: logarithm of the determinant of the noise
-- column shares DOUBLE[]: prior share of the way
-- column deviances DOUBLE[]: at size 0
-- column roll_linear DOUBLE[]: for camber up on the left and down on the right
-- column camber_linear DOUBLE[]: for camber up on both
-- column camber_quadratic DOUBLE[]: for either
-- column toe_linear DOUBLE[]: for toe up on both
-- column toe_quadratic DOUBLE[]: for toe up on both
with
lefts as (
    select chassis, vehicle, visit, camber_change_deg, camber_var_deg2, toe_change_deg, toe_var_deg2
    from session_noise
    where corner = 'RL' and (camber_change_deg is not null or toe_change_deg is not null)
),
rights as (
    select chassis, vehicle, visit, camber_change_deg, camber_var_deg2, toe_change_deg, toe_var_deg2
    from session_noise
    where corner = 'RR' and (camber_change_deg is not null or toe_change_deg is not null)
),
rears as (
    select
        coalesce(lefts.chassis, rights.chassis) as chassis,
        coalesce(lefts.vehicle, rights.vehicle) as vehicle,
        coalesce(lefts.visit, rights.visit) as visit,
        cast(
            (lefts.camber_change_deg is not null)::integer + (rights.camber_change_deg is not null)::integer as integer
        ) as rear_camber_count,
        rear_term(lefts, 0, 0) as left_same,
        rear_term(lefts, 0.25, 0.09) as left_changed,
        rear_term(rights, 0, 0) as right_same,
        rear_term(rights, 0.25, 0.09) as right_changed,
        case when lefts.vehicle is null then cast(0 as double) else 0.03 end as p_left,
        case when rights.vehicle is null then cast(0 as double) else 0.03 end as p_right
    from lefts
    full join rights on rights.vehicle = lefts.vehicle and rights.visit = lefts.visit
),
ways as (
    select
        *,
        [
            rear_way(left_same, right_same), rear_way(left_changed, right_same), rear_way(left_same, right_changed),
            rear_way(left_changed, right_changed)
        ] as ways
    from rears
)
select
    chassis,
    vehicle,
    visit,
    rear_camber_count,
    rear_alone(left_same, left_changed, p_left) + rear_alone(right_same, right_changed, p_right) as log_likelihood,
    left_same.log_det + right_same.log_det as log_det,
    [
        cast((1 - p_left) * (1 - p_right) as double), cast(p_left * (1 - p_right) as double),
            cast((1 - p_left) * p_right as double),
        cast(p_left * p_right as double)
    ] as shares,
    [way.deviance for way in ways] as deviances,
    [way.roll for way in ways] as roll_linear,
    [way.camber for way in ways] as camber_linear,
    [way.camber_square for way in ways] as camber_quadratic,
    [way.toe for way in ways] as toe_linear,
    [way.toe_square for way in ways] as toe_quadratic
from ways
