-- title: Standard deviation of one reading, that alone
-- grain: one row per row of reading_noise
-- source: reading_noise
-- concerns: readings by gauge; NULL concerns all
-- missing: none
-- What later tables read: stays as it is while the counts of reading_noise grow.
-- column gauge VARCHAR: measuring equipment; NULL = typical
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column sd_deg DOUBLE [deg]: standard deviation of one reading, to be used
-- column is_own BOOLEAN: the gauge's own data have a part in it
select gauge, response, sd_deg, df > 0 as is_own
from reading_noise
