-- Steps to the likelihood of causes that turn the knuckle, whose toe per degree of camber is known with variance ratio_var.
create or replace temp macro weighed_bend(front, component, ratio_var) as {
    'component': component,
    'weights': weighed(
        front, (component.mean * component.mean + component.sd * component.sd) * front.toe_part * front.toe_part * (ratio_var), 0, 0,
        (component.mean * component.mean + component.sd * component.sd) * (ratio_var), 1
    )
};
create or replace temp macro bend(front, weighed_bend, toe_ratio, sai) as
    one_way(front, weighed_bend.weights, 1 - front.toe_part * (toe_ratio), 0, sai, toe_ratio, weighed_bend.component);
