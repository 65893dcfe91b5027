-- title: Bias of readers, against the truth and against each other
-- grain: one row per angle and reader of readers (and reader 0, anyone else) against the truth, and per pair of readers of a session or move
-- source: readers, session_pairs, state_pairs, gauge_variances, gauge_effects, angle_priors, set_ups, gauge_references
-- missing: reader_1 is NULL for the truth
-- computed by: src/stats/tables
-- given whole: readers, gauge_variances, gauge_effects, angle_priors, set_ups, gauge_references
-- Best linear unbiased prediction with the whole covariance of its errors (Searle, Casella and McCulloch, Variance Components, 1992,
-- chapter 7; from memory). Biases are about 0 with the variance between gauges, and between people, of gauge_variances: what
-- all gauges have in common nobody can see, so the error of one against the truth holds the variance of the mean of those compared
-- as well. A gauge that was never compared has the whole of that variance, a reading without a person no part of people. What a gauge
-- reads of references (gauge_references) is one more observation of its bias, with its own variance, and of the person who read;
-- through the comparisons it tells of the others. A reference has no set-up: it is read as it lies. A gauge that may
-- walk (set_ups) has here its bias in the middle of its time, with the variance of a uniform over what it walks: what the day of a
-- reading tells of that, reader_noise says. Its prior holds half of the walk, as if it was set right at an end, and a reference
-- counts as of its own day.
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column reader_1 BIGINT: number in readers; NULL = the truth
-- column reader_2 BIGINT: number in readers; 0 = anyone else
-- column step_deg DOUBLE [deg]: what reader_2 reads above reader_1
-- column step_var_deg2 DOUBLE [deg2]: its variance
-- column compared BOOLEAN: readings of one setting, or of a reference, tell of it; else the prior stands in
with
wanted as (
    select cast(null as bigint) as reader_1, reader as reader_2 from readers
    union all
    select cast(null as bigint) as reader_1, cast(0 as bigint) as reader_2
    union
    select before_reader as reader_1, after_reader as reader_2
    from session_pairs
    where before_reader > 0 and after_reader > 0 and before_reader <> after_reader
    union
    select from_reader as reader_1, to_reader as reader_2 from state_pairs where from_reader <> to_reader
)
select reader_1, reader_2 from wanted order by all
