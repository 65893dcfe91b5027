-- title: Set-ups, bias against the truth and walk of each gauge
-- grain: one row per gauge of the readings, and (not named), and angle
-- source: set_ups, readers, reader_biases
-- kept: as a view
-- missing: the bias is NULL for (not named) where every reading names a gauge
-- column name VARCHAR: gauge
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column set_up_deg DOUBLE [deg]: standard deviation of what a new set-up adds, see set_ups
-- column set_up_low_deg DOUBLE [deg]: 95 % interval
-- column set_up_high_deg DOUBLE [deg]: 95 % interval
-- column set_up_pair_count BIGINT: pairs of its own that tell
-- column set_up_source VARCHAR: visits typical prior (never repeated over a mounting)
-- column true_bias_deg DOUBLE [deg]: what it adds to the true angle, as far as known
-- column true_bias_std_error_deg DOUBLE [deg]: standard error of that: what all gauges have in common only references show
-- column walk_deg_per_week DOUBLE [deg]: how far its readings of unchanged settings move in a week; NULL where too few tell
-- column walk_std_error_deg_per_week DOUBLE [deg]: its standard error
-- column walk_weeks DOUBLE [weeks]: time over which it was looked at
-- column walks BOOLEAN: by over 3 standard errors
with
-- Of several people the one who is known best, of two the first by number.
gauge_biases as (
    select
        readers.gauge,
        response,
        arg_min(step_deg, {'step_var': step_var_deg2, 'reader': reader_2}) as step_deg,
        min(step_var_deg2) as step_var_deg2
    from reader_biases
    inner join readers on readers.reader = reader_2
    where reader_1 is null
    group by readers.gauge, response
)
select
    coalesce(set_ups.gauge, '(not named)') as name,
    set_ups.response,
    sqrt(set_up_var_deg2) as set_up_deg,
    low_deg as set_up_low_deg,
    high_deg as set_up_high_deg,
    pair_count as set_up_pair_count,
    source as set_up_source,
    step_deg as true_bias_deg,
    sqrt(step_var_deg2) as true_bias_std_error_deg,
    walk_deg_per_week,
    walk_std_error_deg_per_week,
    walk_weeks,
    coalesce(abs(walk_deg_per_week) > 3 * walk_std_error_deg_per_week, false) as walks
from set_ups
left join gauge_biases on gauge_biases.gauge is not distinct from set_ups.gauge
    and gauge_biases.response = set_ups.response
