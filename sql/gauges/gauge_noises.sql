-- title: Standard deviation of one reading, all angles in one row
-- grain: one row per gauge of the readings, and one with gauge NULL: the typical one, for readings without a gauge too
-- source: reading_noise
-- kept: as a view
-- missing: none
-- column gauge VARCHAR: measuring equipment; NULL = typical
-- column camber_sd_deg DOUBLE [deg]: of camber
-- column caster_sd_deg DOUBLE [deg]: of caster
-- column toe_sd_deg DOUBLE [deg]: of toe
-- column sai_sd_deg DOUBLE [deg]: of SAI
-- column camber_shared_deg2 DOUBLE [deg2]: part of the variance of camber that repeats of one state have in common
-- column caster_shared_deg2 DOUBLE [deg2]: the same of caster
-- column toe_shared_deg2 DOUBLE [deg2]: the same of toe
-- column sai_shared_deg2 DOUBLE [deg2]: the same of SAI
select
    gauge,
    max(sd_deg) filter (where response = 'camber_deg') as camber_sd_deg,
    max(sd_deg) filter (where response = 'caster_deg') as caster_sd_deg,
    max(sd_deg) filter (where response = 'toe_deg') as toe_sd_deg,
    max(sd_deg) filter (where response = 'sai_deg') as sai_sd_deg,
    max(shared_var_deg2) filter (where response = 'camber_deg') as camber_shared_deg2,
    max(shared_var_deg2) filter (where response = 'caster_deg') as caster_shared_deg2,
    max(shared_var_deg2) filter (where response = 'toe_deg') as toe_shared_deg2,
    max(shared_var_deg2) filter (where response = 'sai_deg') as sai_shared_deg2
from reading_noise
group by gauge
