-- title: Variance of a reading by reader, the angles of a front corner in one row
-- grain: one row per reader of reader_noise
-- source: reader_noise
-- kept: as a view
-- missing: none
-- Where nothing tells of set-ups, told_var is 0: a spread is not made smaller by what is only expected.
-- column reader BIGINT: see reader_noise
-- column camber_one_var_deg2 DOUBLE [deg2]: variance of one reading of camber
-- column camber_shared_deg2 DOUBLE [deg2]: part of it that repeats of one state have in common
-- column camber_set_up_var_deg2 DOUBLE [deg2]: variance of a set-up
-- column camber_mounting_var_deg2 DOUBLE [deg2]: part of it that another mounting changes
-- column camber_told_var_deg2 DOUBLE [deg2]: the same where readings tell of it, else 0
-- column camber_bias_deg DOUBLE [deg]: what the reader adds to the true angle, as far as known
-- column camber_bias_var_deg2 DOUBLE [deg2]: its variance
-- column caster_one_var_deg2 DOUBLE [deg2]: variance of one reading of caster
-- column caster_shared_deg2 DOUBLE [deg2]: part of it that repeats of one state have in common
-- column caster_set_up_var_deg2 DOUBLE [deg2]: variance of a set-up
-- column caster_mounting_var_deg2 DOUBLE [deg2]: part of it that another mounting changes
-- column caster_told_var_deg2 DOUBLE [deg2]: the same where readings tell of it, else 0
-- column caster_bias_deg DOUBLE [deg]: what the reader adds to the true angle, as far as known
-- column caster_bias_var_deg2 DOUBLE [deg2]: its variance
-- column toe_one_var_deg2 DOUBLE [deg2]: variance of one reading of toe
-- column toe_shared_deg2 DOUBLE [deg2]: part of it that repeats of one state have in common
-- column toe_set_up_var_deg2 DOUBLE [deg2]: variance of a set-up
-- column toe_mounting_var_deg2 DOUBLE [deg2]: part of it that another mounting changes
-- column toe_told_var_deg2 DOUBLE [deg2]: the same where readings tell of it, else 0
-- column toe_bias_deg DOUBLE [deg]: what the reader adds to the true angle, as far as known
-- column toe_bias_var_deg2 DOUBLE [deg2]: its variance
select
    reader,
    max(one_var_deg2) filter (where response = 'camber_deg') as camber_one_var_deg2,
    max(shared_var_deg2) filter (where response = 'camber_deg') as camber_shared_deg2,
    max(set_up_var_deg2) filter (where response = 'camber_deg') as camber_set_up_var_deg2,
    max(mounting_var_deg2) filter (where response = 'camber_deg') as camber_mounting_var_deg2,
    coalesce(max(set_up_var_deg2) filter (where response = 'camber_deg' and set_up_source <> 'prior'), 0)
        as camber_told_var_deg2,
    max(bias_deg) filter (where response = 'camber_deg') as camber_bias_deg,
    max(bias_var_deg2) filter (where response = 'camber_deg') as camber_bias_var_deg2,
    max(one_var_deg2) filter (where response = 'caster_deg') as caster_one_var_deg2,
    max(shared_var_deg2) filter (where response = 'caster_deg') as caster_shared_deg2,
    max(set_up_var_deg2) filter (where response = 'caster_deg') as caster_set_up_var_deg2,
    max(mounting_var_deg2) filter (where response = 'caster_deg') as caster_mounting_var_deg2,
    coalesce(max(set_up_var_deg2) filter (where response = 'caster_deg' and set_up_source <> 'prior'), 0)
        as caster_told_var_deg2,
    max(bias_deg) filter (where response = 'caster_deg') as caster_bias_deg,
    max(bias_var_deg2) filter (where response = 'caster_deg') as caster_bias_var_deg2,
    max(one_var_deg2) filter (where response = 'toe_deg') as toe_one_var_deg2,
    max(shared_var_deg2) filter (where response = 'toe_deg') as toe_shared_deg2,
    max(set_up_var_deg2) filter (where response = 'toe_deg') as toe_set_up_var_deg2,
    max(mounting_var_deg2) filter (where response = 'toe_deg') as toe_mounting_var_deg2,
    coalesce(max(set_up_var_deg2) filter (where response = 'toe_deg' and set_up_source <> 'prior'), 0)
        as toe_told_var_deg2,
    max(bias_deg) filter (where response = 'toe_deg') as toe_bias_deg,
    max(bias_var_deg2) filter (where response = 'toe_deg') as toe_bias_var_deg2
from reader_noise
group by reader
