-- title: How sure a change is, by who read before and after
-- grain: one row per pair of readers of session_pairs
-- source: session_pairs, reader_noise, reader_biases
-- missing: none
-- Where gauge or person differ before and after, the difference of their biases and its variance; where one is a mixture, that of
-- independent biases.
-- column before_reader BIGINT: see session_pairs
-- column after_reader BIGINT: see session_pairs
-- column camber_before_var_deg2 DOUBLE [deg2]: variance of one reading before
-- column camber_before_shared_deg2 DOUBLE [deg2]: part of it that repeats of one state have in common
-- column camber_after_var_deg2 DOUBLE [deg2]: of one after
-- column camber_after_shared_deg2 DOUBLE [deg2]: part of it that repeats of one state have in common
-- column camber_step_deg DOUBLE [deg]: bias after less bias before
-- column camber_step_var_deg2 DOUBLE [deg2]: its variance
-- column caster_before_var_deg2 DOUBLE [deg2]: variance of one reading before
-- column caster_before_shared_deg2 DOUBLE [deg2]: part of it that repeats of one state have in common
-- column caster_after_var_deg2 DOUBLE [deg2]: of one after
-- column caster_after_shared_deg2 DOUBLE [deg2]: part of it that repeats of one state have in common
-- column caster_step_deg DOUBLE [deg]: bias after less bias before
-- column caster_step_var_deg2 DOUBLE [deg2]: its variance
-- column toe_before_var_deg2 DOUBLE [deg2]: variance of one reading before
-- column toe_before_shared_deg2 DOUBLE [deg2]: part of it that repeats of one state have in common
-- column toe_after_var_deg2 DOUBLE [deg2]: of one after
-- column toe_after_shared_deg2 DOUBLE [deg2]: part of it that repeats of one state have in common
-- column toe_step_deg DOUBLE [deg]: bias after less bias before
-- column toe_step_var_deg2 DOUBLE [deg2]: its variance
-- column sai_before_var_deg2 DOUBLE [deg2]: variance of one reading before
-- column sai_before_shared_deg2 DOUBLE [deg2]: part of it that repeats of one state have in common
-- column sai_after_var_deg2 DOUBLE [deg2]: of one after
-- column sai_after_shared_deg2 DOUBLE [deg2]: part of it that repeats of one state have in common
-- column sai_step_deg DOUBLE [deg]: bias after less bias before
-- column sai_step_var_deg2 DOUBLE [deg2]: its variance
with
pairs as materialized (
    select distinct before_reader, after_reader from session_pairs
),
-- Materialised: joined on the response first, every reader would meet every other.
earlier as materialized (
    select pairs.*, reader_noise.* exclude (reader)
    from pairs
    inner join reader_noise on reader = before_reader
),
differences as (
    select
        before_reader,
        after_reader,
        earlier.response,
        earlier.read_var_deg2 as before_var,
        earlier.shared_var_deg2 as before_shared,
        later.read_var_deg2 as after_var,
        later.shared_var_deg2 as after_shared,
        case
            when steps.step_deg is not null then steps.step_deg
            when earlier.gauges is not distinct from later.gauges then 0
            else later.gauge_effect_deg - earlier.gauge_effect_deg end
            + case
                when steps.step_deg is not null then 0
                when earlier.technicians is not distinct from later.technicians then 0
                else later.technician_effect_deg - earlier.technician_effect_deg
            end as step,
        case
            when steps.step_deg is not null then steps.step_var_deg2
            when earlier.gauges is not distinct from later.gauges then 0
            else later.gauge_effect_var_deg2 + earlier.gauge_effect_var_deg2
        end
        + case
            when steps.step_deg is not null then 0
            when earlier.technicians is not distinct from later.technicians then 0
            else later.technician_effect_var_deg2 + earlier.technician_effect_var_deg2
        end as step_var
    from earlier
    inner join reader_noise as later on later.reader = after_reader and later.response = earlier.response
    left join reader_biases as steps
        on steps.reader_1 = before_reader and steps.reader_2 = after_reader and steps.response = earlier.response
)
select
    before_reader,
    after_reader,
    max(before_var) filter (where response = 'camber_deg') as camber_before_var_deg2,
    max(before_shared) filter (where response = 'camber_deg') as camber_before_shared_deg2,
    max(after_var) filter (where response = 'camber_deg') as camber_after_var_deg2,
    max(after_shared) filter (where response = 'camber_deg') as camber_after_shared_deg2,
    max(step) filter (where response = 'camber_deg') as camber_step_deg,
    max(step_var) filter (where response = 'camber_deg') as camber_step_var_deg2,
    max(before_var) filter (where response = 'caster_deg') as caster_before_var_deg2,
    max(before_shared) filter (where response = 'caster_deg') as caster_before_shared_deg2,
    max(after_var) filter (where response = 'caster_deg') as caster_after_var_deg2,
    max(after_shared) filter (where response = 'caster_deg') as caster_after_shared_deg2,
    max(step) filter (where response = 'caster_deg') as caster_step_deg,
    max(step_var) filter (where response = 'caster_deg') as caster_step_var_deg2,
    max(before_var) filter (where response = 'toe_deg') as toe_before_var_deg2,
    max(before_shared) filter (where response = 'toe_deg') as toe_before_shared_deg2,
    max(after_var) filter (where response = 'toe_deg') as toe_after_var_deg2,
    max(after_shared) filter (where response = 'toe_deg') as toe_after_shared_deg2,
    max(step) filter (where response = 'toe_deg') as toe_step_deg,
    max(step_var) filter (where response = 'toe_deg') as toe_step_var_deg2,
    max(before_var) filter (where response = 'sai_deg') as sai_before_var_deg2,
    max(before_shared) filter (where response = 'sai_deg') as sai_before_shared_deg2,
    max(after_var) filter (where response = 'sai_deg') as sai_after_var_deg2,
    max(after_shared) filter (where response = 'sai_deg') as sai_after_shared_deg2,
    max(step) filter (where response = 'sai_deg') as sai_step_deg,
    max(step_var) filter (where response = 'sai_deg') as sai_step_var_deg2
from differences
group by before_reader, after_reader
