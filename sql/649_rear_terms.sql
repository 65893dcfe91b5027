-- title: What the rears say of a cause on the whole car
-- grain: one row per session visit with a rear read before and after
-- source: change_noise
-- missing: an angle that was not read adds nothing
-- A plate cannot move a rear wheel, so the rears are the control: each is as it was, or (3 in 100, common practice, no source) was
-- changed or misread by itself, camber with sd 0.5 deg, toe 0.3 deg. Lists have one entry per way: none changed, the left, the right,
-- both. With z the size of a cause on the car, -2 ln likelihood of a way = deviance - 2 z linear + z^2 quadratic.
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
visits as (
    select
        vehicle,
        visit,
        max(change_deg) filter (where corner = 'RL' and response = 'camber_deg') as left_camber_deg,
        max(change_var_deg2) filter (where corner = 'RL' and response = 'camber_deg') as left_camber_var,
        max(change_deg) filter (where corner = 'RL' and response = 'toe_deg') as left_toe_deg,
        max(change_var_deg2) filter (where corner = 'RL' and response = 'toe_deg') as left_toe_var,
        max(change_deg) filter (where corner = 'RR' and response = 'camber_deg') as right_camber_deg,
        max(change_var_deg2) filter (where corner = 'RR' and response = 'camber_deg') as right_camber_var,
        max(change_deg) filter (where corner = 'RR' and response = 'toe_deg') as right_toe_deg,
        max(change_var_deg2) filter (where corner = 'RR' and response = 'toe_deg') as right_toe_var
    from change_noise
    where corner in ('RL', 'RR') and response in ('camber_deg', 'toe_deg')
    group by vehicle, visit
),
rears as (
    select
        vehicle,
        visit,
        cast((left_camber_deg is not null)::integer + (right_camber_deg is not null)::integer as integer) as rear_camber_count,
        rear_term(left_camber_deg, left_camber_var, left_toe_deg, left_toe_var) as left_same,
        rear_term(left_camber_deg, left_camber_var + 0.25, left_toe_deg, left_toe_var + 0.09) as left_changed,
        rear_term(right_camber_deg, right_camber_var, right_toe_deg, right_toe_var) as right_same,
        rear_term(right_camber_deg, right_camber_var + 0.25, right_toe_deg, right_toe_var + 0.09) as right_changed,
        case when coalesce(left_camber_deg, left_toe_deg) is null then cast(0 as double) else 0.03 end as p_left,
        case when coalesce(right_camber_deg, right_toe_deg) is null then cast(0 as double) else 0.03 end as p_right
    from visits
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
    vehicle,
    visit,
    rear_camber_count,
    rear_alone(left_same, left_changed, p_left) + rear_alone(right_same, right_changed, p_right) as log_likelihood,
    left_same.log_det + right_same.log_det as log_det,
    [
        cast((1 - p_left) * (1 - p_right) as double), cast(p_left * (1 - p_right) as double), cast((1 - p_left) * p_right as double),
        cast(p_left * p_right as double)
    ] as shares,
    [way.deviance for way in ways] as deviances,
    [way.roll for way in ways] as roll_linear,
    [way.camber for way in ways] as camber_linear,
    [way.camber_square for way in ways] as camber_quadratic,
    [way.toe for way in ways] as toe_linear,
    [way.toe_square for way in ways] as toe_quadratic
from ways
