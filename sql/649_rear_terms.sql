-- title: What the rears say of a cause on the whole car
-- grain: one row per session visit with a rear read before and after, way that the rears may have changed, and component of a cause
-- source: change_noise, car_components
-- missing: an angle that was not read adds nothing
-- A plate cannot move a rear wheel, so the rears are the control: each is as it was, or (3 in 100, common practice, no source) was
-- changed or misread by itself, camber with sd 0.5 deg, toe 0.3 deg. Terms as in drift_terms, both rears together.
-- column vehicle VARCHAR: one car
-- column visit VARCHAR: visit
-- column way VARCHAR: which rears changed
-- column car_component VARCHAR: see car_components
-- column log_share DOUBLE: logarithm of the prior share of the way
-- column deviance DOUBLE: at size 0 of the cause on the car
-- column linear DOUBLE: see drift_terms
-- column quadratic DOUBLE: see drift_terms
with
rears as (
    select
        vehicle,
        corner,
        visit,
        max(change_deg) filter (where response = 'camber_deg') as camber_deg,
        max(change_var_deg2) filter (where response = 'camber_deg') as camber_var,
        max(change_deg) filter (where response = 'toe_deg') as toe_deg,
        max(change_var_deg2) filter (where response = 'toe_deg') as toe_var
    from change_noise
    where corner in ('RL', 'RR') and response in ('camber_deg', 'toe_deg')
    group by vehicle, corner, visit
),
terms as (
    select
        vehicle,
        rears.corner,
        visit,
        changed,
        component,
        ln(case when changed then 0.03 else 0.97 end) as log_share,
        coalesce(power(rears.camber_deg, 2) / camber_v + ln(camber_v), 0) + coalesce(power(rears.toe_deg, 2) / toe_v + ln(toe_v), 0) as deviance,
        coalesce(rears.camber_deg * car.camber_deg / camber_v, 0) + coalesce(rears.toe_deg * (car.toe_deg + car.toe_read_deg) / toe_v, 0) as linear,
        coalesce(power(car.camber_deg, 2) / camber_v, 0) + coalesce(power(car.toe_deg + car.toe_read_deg, 2) / toe_v, 0) as quadratic
    from (
        select
            rears.*,
            changed,
            camber_var + case when changed then 0.25 else 0 end as camber_v,
            toe_var + case when changed then 0.09 else 0 end as toe_v
        from rears
        cross join (select unnest([true, false]) as changed)
    ) as rears
    inner join car_components as car using (corner)
)
select
    coalesce(lefts.vehicle, rights.vehicle) as vehicle,
    coalesce(lefts.visit, rights.visit) as visit,
    concat_ws(' ', case when lefts.changed then 'RL' end, case when rights.changed then 'RR' end) as way,
    coalesce(lefts.component, rights.component) as car_component,
    coalesce(lefts.log_share, 0) + coalesce(rights.log_share, 0) as log_share,
    coalesce(lefts.deviance, 0) + coalesce(rights.deviance, 0) as deviance,
    coalesce(lefts.linear, 0) + coalesce(rights.linear, 0) as linear,
    coalesce(lefts.quadratic, 0) + coalesce(rights.quadratic, 0) as quadratic
from (select * from terms where corner = 'RL') as lefts
full join (select * from terms where corner = 'RR') as rights
    on rights.vehicle = lefts.vehicle and rights.visit = lefts.visit and rights.component = lefts.component
