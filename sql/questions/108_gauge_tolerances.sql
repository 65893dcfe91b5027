-- Share of each tolerance that measuring takes: one row per gauge, angle that it read and row of the targets with a tolerance for it.
-- grr_deg combines the repeatability of the gauge with what differs between people (REML, 0 where not known); share_of_tolerance: 6 GRR
-- over the whole tolerance band; guarded_tolerance_deg: the tolerance less 1.65 u_deg; distinct_categories: 1.41 times a sixth of the band
-- over GRR, cut to a whole number, at least 1 (Measurement Systems Analysis, 4th ed. 2010, chapter III; from memory: under 10 % good, 10 to
-- 30 % may do, over 30 % not; 5 categories wanted).
create or replace temp macro gauge_tolerances() as table
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
),
-- Of several people the one who is known least.
judges as (
    select gauge, response, sqrt(max(one_var_deg2 + set_up_var_deg2 + bias_var_deg2)) as u_deg
    from reader_noise
    inner join readers using (reader)
    where gauge is not null
    group by gauge, response
)
select
    gauge,
    response,
    target,
    chassis,
    tolerance_deg,
    grr_deg,
    6 * grr_deg / (2 * tolerance_deg) as share_of_tolerance,
    u_deg,
    greatest(tolerance_deg - 1.65 * u_deg, 0) as guarded_tolerance_deg,
    cast(greatest(floor(1.41 * tolerance_deg / 3 / grr_deg), 1) as bigint) as distinct_categories
from grr
inner join tolerances using (response)
inner join judges using (gauge, response)
where tolerance_deg > 0;
