-- title: Moves against the fitted slopes
-- grain: one row per move and response
-- source: moves, slope_estimates
-- missing: none
-- kept: as a view
-- Where another gauge read the later state, less the median of what the moves of the chassis between these two gauges leave.
-- The bisquare is written out here, since a view must stand without the functions of sql/functions.
-- column chassis VARCHAR: platform code
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR
-- column visit VARCHAR: visit
-- column from_phase VARCHAR: before moved
-- column to_phase VARCHAR: moved after
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column fitted_deg DOUBLE [deg]: change that the slopes expect
-- column residual_deg DOUBLE [deg]: change minus fitted
-- column robust_weight DOUBLE: bisquare weight of the residual, 0..1; under 1/2 counts as down-weighted
-- column robust_slope DOUBLE: derivative of the bisquare's psi at the residual
with
expected as (
    select
        moves.*,
        end_deg,
        fit_out * move_out_mm + fit_aft * move_aft_mm as fitted_deg,
        change_deg - fitted_deg as left_deg,
        case when from_reader < to_reader then 1 else -1 end as direction,
        least(from_reader, to_reader) as reader_1,
        greatest(from_reader, to_reader) as reader_2
    from moves
    inner join slope_estimates using (chassis, response)
),
steps as (
    select chassis, response, reader_1, reader_2, median(direction * left_deg) as step_deg
    from expected
    where from_reader is not null
    group by chassis, response, reader_1, reader_2
),
fitted as (
    select
        expected.*,
        left_deg - coalesce(direction * step_deg, 0) as residual_deg,
        weight * residual_deg * residual_deg / (end_deg * end_deg) as q,
        greatest(1 - q, 0) as room
    from expected
    left join steps using (chassis, response, reader_1, reader_2)
)
select
    chassis,
    vehicle,
    corner,
    visit,
    from_phase,
    to_phase,
    response,
    fitted_deg,
    residual_deg,
    room * room as robust_weight,
    room * (1 - 5 * q) as robust_slope
from fitted
