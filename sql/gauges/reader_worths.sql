-- title: Variance of a reading by reader, the angles of a front corner in one row
-- grain: one row per reader of reader_noise
-- source: reader_noise
-- kept: as a view
-- missing: an angle that a mixture never read is NULL
-- Where nothing tells of set-ups, told_var is 0: a spread is not made smaller by what is only expected.
-- column reader BIGINT: see reader_noise
-- column camber_one_var_deg2 DOUBLE [deg2]: variance of one reading of camber
-- column camber_shared_deg2 DOUBLE [deg2]: part of it that repeats of one state have in common
-- column camber_set_up_var_deg2 DOUBLE [deg2]: variance of a set-up
-- column camber_mounting_var_deg2 DOUBLE [deg2]: part of it that another mounting changes
-- column camber_told_var_deg2 DOUBLE [deg2]: the same where readings tell of it, else 0
-- column camber_bias_deg DOUBLE [deg]: what the reader adds to the true angle, as far as known
-- column camber_bias_var_deg2 DOUBLE [deg2]: its variance
-- column camber_walk DOUBLE[]: how the gauge walks, see reader_noise
-- column caster_one_var_deg2 DOUBLE [deg2]: variance of one reading of caster
-- column caster_shared_deg2 DOUBLE [deg2]: part of it that repeats of one state have in common
-- column caster_set_up_var_deg2 DOUBLE [deg2]: variance of a set-up
-- column caster_mounting_var_deg2 DOUBLE [deg2]: part of it that another mounting changes
-- column caster_told_var_deg2 DOUBLE [deg2]: the same where readings tell of it, else 0
-- column caster_bias_deg DOUBLE [deg]: what the reader adds to the true angle, as far as known
-- column caster_bias_var_deg2 DOUBLE [deg2]: its variance
-- column caster_walk DOUBLE[]: how the gauge walks, see reader_noise
-- column toe_one_var_deg2 DOUBLE [deg2]: variance of one reading of toe
-- column toe_shared_deg2 DOUBLE [deg2]: part of it that repeats of one state have in common
-- column toe_set_up_var_deg2 DOUBLE [deg2]: variance of a set-up
-- column toe_mounting_var_deg2 DOUBLE [deg2]: part of it that another mounting changes
-- column toe_told_var_deg2 DOUBLE [deg2]: the same where readings tell of it, else 0
-- column toe_bias_deg DOUBLE [deg]: what the reader adds to the true angle, as far as known
-- column toe_bias_var_deg2 DOUBLE [deg2]: its variance
-- column toe_walk DOUBLE[]: how the gauge walks, see reader_noise
with
told as (
    select *, case when set_up_source <> 'prior' then set_up_var_deg2 else 0 end as told_var_deg2
    from reader_noise
)
select *
from told pivot (
    max(one_var_deg2) as one_var_deg2, max(shared_var_deg2) as shared_deg2, max(set_up_var_deg2) as set_up_var_deg2,
    max(mounting_var_deg2) as mounting_var_deg2, max(told_var_deg2) as told_var_deg2, max(bias_deg) as bias_deg,
    max(bias_var_deg2) as bias_var_deg2, any_value(walk) as walk
    for response in ('camber_deg' as camber, 'caster_deg' as caster, 'toe_deg' as toe) group by reader
)
