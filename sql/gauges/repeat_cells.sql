-- title: Repeatability of each gauge and person
-- grain: one row per gauge, technician and angle with a state that they read more than once
-- source: repeated_readings, display_steps
-- missing: gauge and technician are NULL where not named; df is 0 and var_deg2 NULL where mistakes leave no state with two readings
-- computed by: src/stats/tables
-- Pooled variance within cells (a state, mounting, gauge and person), without mistakes beyond doubt: readings that a clean cell holds once in a
-- million. On a coarse display by the likelihood of the intervals that the digits stand for.
-- column gauge VARCHAR: measuring equipment
-- column technician VARCHAR: who measured
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column df DOUBLE: degrees of freedom of a chi-square with the same information
-- column outlier_count BIGINT: readings left out as mistakes
-- column var_deg2 DOUBLE [deg2]: variance of a reading before the display rounds it
-- column var_of_all_deg2 DOUBLE [deg2]: variance of a displayed reading, mistakes included
with
readings_long as (
    unpivot (
        select state, coalesce(mounting, 1) as mounting, gauge, technician, camber_deg, caster_deg, toe_deg, sai_deg
        from repeated_readings
    )
        on camber_deg, caster_deg, toe_deg, sai_deg into name response value read_deg
),
repeated as (
    select *
    from readings_long
    qualify count(*) over (partition by state, mounting, gauge, technician, response) > 1
)
select
    repeated.gauge,
    repeated.technician,
    repeated.response,
    state || ' ' || mounting as state,
    read_deg,
    step_deg
from repeated
inner join display_steps on display_steps.gauge is not distinct from repeated.gauge
    and display_steps.response = repeated.response
order by repeated.response, repeated.gauge, repeated.technician, state, read_deg
