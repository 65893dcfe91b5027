-- title: How much of a tolerance the measuring takes
-- grain: one row per gauge, angle and row of the targets with a tolerance for it
-- source: reading_noise, gauge_variances, targets
-- missing: none; a gauge that never read the angle has no row
-- GRR combines the repeatability of the gauge with what differs between people (REML, 0 where not known). Share: 6 GRR over the
-- whole tolerance band. Distinct categories: 1.41 times a sixth of the band over GRR, cut to a whole number, at least 1
-- (Measurement Systems Analysis, 4th ed. 2010, chapter III; from memory: under 10 % good, 10 to 30 % may do, over 30 % not; 5
-- categories wanted).
-- column gauge VARCHAR: measuring equipment
-- column response VARCHAR: camber_deg caster_deg toe_deg
-- column target VARCHAR: target
-- column chassis VARCHAR: platform code; NULL = any
-- column tolerance_deg DOUBLE [deg]: to each side
-- column grr_deg DOUBLE [deg]: standard deviation of a reading by any of the people
-- column share_of_tolerance DOUBLE: 6 GRR over twice the tolerance
-- column distinct_categories BIGINT: groups of cars that can be told apart within the band
with
tolerances as (
    select
        target,
        chassis,
        unnest([
            {'response': 'camber_deg', 'tolerance_deg': camber_tol_deg},
            {'response': 'caster_deg', 'tolerance_deg': caster_tol_deg},
            {'response': 'toe_deg', 'tolerance_deg': toe_tol_deg}
        ], recursive := true)
    from targets
),
grr as (
    select gauge, reading_noise.response, sqrt(sd_deg * sd_deg + coalesce(technician_var, 0)) as grr_deg
    from reading_noise
    left join gauge_variances using (response)
    where gauge is not null and reading_count > 0
)
select
    gauge,
    response,
    target,
    chassis,
    tolerance_deg,
    grr_deg,
    6 * grr_deg / (2 * tolerance_deg) as share_of_tolerance,
    cast(greatest(floor(1.41 * tolerance_deg / 3 / grr_deg), 1) as bigint) as distinct_categories
from grr
inner join tolerances using (response)
where tolerance_deg > 0
