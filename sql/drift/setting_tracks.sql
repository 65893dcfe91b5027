-- title: Camber and caster over time, corrected for the setting
-- grain: one row per measured state of a front corner on a kit at a known offset, and camber or caster, of cars with at least three sessions
-- source: session_changes, and of those cars states, chassis_casters, repeated_readings, reader_noise, sensitivities, angle_priors, drift
-- kept: as a view
-- missing: limits are NULL while there is no clean point
-- Level: the reading brought to offset 0 with the slopes, camber to zero toe; nothing but a change that nobody wrote down moves
-- it. A point is clean unless the plate was last set before a session whose verdict is not held. Centre: their mean. Standard deviation of a point: mean
-- moving range of the clean points over 1.128 (d2 for ranges of two) from 8 of them on; before, the readings' own noise with what
-- changes between visits (angle_priors). Individuals: limits of 3.3 standard deviations. EWMA: a quarter of the newest point, limits of
-- 3.3 standard deviations. CUSUM: slack 0.5, signal over 5.7 standard deviations. Both begin anew whenever the plate is set. Together
-- they signal at most one point in 200 where nothing happens (chart_limits).
-- column chassis VARCHAR: platform code
-- column vehicle VARCHAR: one car
-- column corner VARCHAR: FL FR
-- column kit VARCHAR: NULL = original mount
-- column response VARCHAR: camber_deg caster_deg
-- column point BIGINT: 1, 2, ... in time order
-- column visit VARCHAR: visit
-- column visit_kind VARCHAR: install adjust session check
-- column phase VARCHAR: before moved after
-- column measured_ts TIMESTAMP: when, local wall time
-- column session_count BIGINT: sessions run up to then on this kit
-- column setting_count BIGINT: times that the plate was set up to then
-- column read_deg DOUBLE [deg]: as read
-- column toe_deg DOUBLE [deg]: per wheel, as read
-- column offset_out_mm DOUBLE [mm]: bearing centre outboard of the original mount's
-- column offset_aft_mm DOUBLE [mm]: bearing centre rearward of the original mount's
-- column level_deg DOUBLE [deg]: setting-corrected
-- column is_clean BOOLEAN: no session since the plate was last set may have moved something
-- column clean_count BIGINT: clean points of the track
-- column centre_deg DOUBLE [deg]: mean of the clean points
-- column sd_deg DOUBLE [deg]: standard deviation of a point
-- column sd_source VARCHAR: history readings
-- column low_deg DOUBLE [deg]: lower limit for a point
-- column high_deg DOUBLE [deg]: upper limit for a point
-- column ewma_deg DOUBLE [deg]: moving average
-- column ewma_low_deg DOUBLE [deg]: its lower limit
-- column ewma_high_deg DOUBLE [deg]: its upper limit
-- column cusum_high DOUBLE: cumulative sum upward, in standard deviations
-- column cusum_low DOUBLE: cumulative sum downward, in standard deviations
-- column signal VARCHAR: point ewma cusum, the first that is out of its limits; NULL = none
with
cars as (
    select distinct vehicle from (select vehicle from session_changes
        where disturbance = 'session' and corner in ('FL', 'FR') group by vehicle, corner having count(*) >= 3)
)
select
    chassis,
    vehicle,
    corner,
    kit,
    response,
    point,
    visit,
    visit_kind,
    phase,
    measured_ts,
    session_count,
    setting_count,
    read_deg,
    toe_deg,
    offset_out_mm,
    offset_aft_mm,
    level_deg,
    is_clean,
    clean_count,
    centre_deg,
    sd_deg,
    sd_source,
    low_deg,
    high_deg,
    ewma_deg,
    ewma_low_deg,
    ewma_high_deg,
    cusum_high,
    cusum_low,
    signal
from setting_charts(
    (select list(vehicle) from cars), 'states', 'chassis_casters', 'repeated_readings', 'reader_noise', 'sensitivities',
    'angle_priors', 'drift'
)
