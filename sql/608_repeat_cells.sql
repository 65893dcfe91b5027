-- title: Repeatability of each gauge and person
-- grain: one row per gauge, technician and angle with a state that they read more than once
-- source: repeated_readings
-- missing: gauge and technician are NULL where not named; df is 0 and square_deg2 NULL where mistakes leave no state with two readings
-- Readings over 5 robust standard deviations from the median of their cell (a state, gauge and person) are left out as mistakes of writing.
-- column gauge VARCHAR: measuring equipment
-- column technician VARCHAR: who measured
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column df BIGINT: readings used less cells
-- column outlier_count BIGINT: readings left out
-- column square_deg2 DOUBLE [deg2]: sum of squares of the readings used about the means of their cells
with
readings_long as (
    unpivot (select state, gauge, technician, camber_deg, caster_deg, toe_deg, sai_deg from repeated_readings)
        on camber_deg, caster_deg, toe_deg, sai_deg into name response value read_deg
),
repeated as (
    select
        *,
        abs(read_deg - median(read_deg) over cell) * sqrt(count(*) over cell / (count(*) over cell - 1.0)) as distance_deg
    from readings_long
    window cell as (partition by state, gauge, technician, response)
    qualify count(*) over cell > 1
),
typical as (
    select response, greatest(1.4826 * median(distance_deg), 0.01) as spread_deg
    from repeated
    group by response
),
spreads as (
    select gauge, response, greatest(1.4826 * median(distance_deg), spread_deg / 2) as spread_deg
    from repeated
    inner join typical using (response)
    group by gauge, response, spread_deg
),
judged as (
    select repeated.*, case when distance_deg <= 5 * spread_deg then read_deg end as kept_deg
    from repeated
    inner join spreads on spreads.gauge is not distinct from repeated.gauge and spreads.response = repeated.response
),
cells as (
    select
        gauge,
        technician,
        response,
        count(kept_deg) as kept_count,
        count(*) - count(kept_deg) as outlier_count,
        case
            when count(kept_deg) > 1
            then centred_moment(count(kept_deg), moment(kept_deg, kept_deg), sum(micro(kept_deg)), sum(micro(kept_deg)))
        end as square_deg2
    from judged
    group by state, gauge, technician, response
)
select
    gauge,
    technician,
    response,
    cast(coalesce(sum(kept_count - 1) filter (where kept_count > 1), 0) as bigint) as df,
    cast(sum(outlier_count) as bigint) as outlier_count,
    fine_sum(square_deg2) as square_deg2
from cells
group by gauge, technician, response
