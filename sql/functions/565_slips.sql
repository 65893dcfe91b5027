-- Steps to the likelihood of a slip of one size class; `component` is a row of drift_components.
-- In a plane the size is wide enough to close the ring of eight directions.
create or replace temp macro slip_sd(front, component) as
    case when front.freedom = 'plane' then greatest(component.sd, 0.38 * component.mean) else component.sd end;
create or replace temp macro sized_slip(front, component) as {
    'component': component.component,
    'mean': component.mean,
    'var': slip_sd(front, component) * slip_sd(front, component),
    'square': component.mean * component.mean + slip_sd(front, component) * slip_sd(front, component)
};
create or replace temp macro weighed_slip(front, size) as {
    'size': size,
    'weights': weighed(
        front, size.square * front.camber_slip_var, size.square * front.caster_slip_var, size.square * front.sai_slip_var,
        size.square * front.toe_slip_var, 0
    )
};
create or replace temp macro slip_products(front, slip) as {
    'size': slip.size, 'weights': slip.weights, 'products': two_ways(front, slip.weights, front)
};
create or replace temp macro slip_gain(slip) as {
    'size': slip.size, 'weights': slip.weights, 'products': slip.products, 'gain': gain(slip.products, slip.size.var)
};
create or replace temp macro integrated_slip(slip) as {
    'size': slip.size,
    'weights': slip.weights,
    'gain': slip.gain,
    'move': integrated(slip.products, slip.gain, slip.size.var)
};
