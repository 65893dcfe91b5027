-- title: States read more than once by one gauge and person
-- grain: one row per vehicle, corner, visit, phase, gauge, technician and angle with at least two readings
-- source: placements
-- missing: square_deg2 is NULL where fewer than two readings are left
-- Readings over 5 robust standard deviations from the median of their cell are left out as mistakes of writing.
-- column gauge VARCHAR: measuring equipment
-- column technician VARCHAR: who measured
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column kept_count BIGINT: readings used
-- column outlier_count BIGINT: readings left out
-- column square_deg2 DOUBLE [deg2]: sum of squares about the mean of the readings used
with
readings_long as (
    unpivot (
        select vehicle, corner, visit, phase, gauge, technician, camber_deg, caster_deg, toe_deg, sai_deg
        from placements
    ) on camber_deg, caster_deg, toe_deg, sai_deg into name response value read_deg
),
repeated as (
    select
        *,
        abs(read_deg - median(read_deg) over cell) * sqrt(count(*) over cell / (count(*) over cell - 1.0)) as distance_deg
    from readings_long
    window cell as (partition by vehicle, corner, visit, phase, gauge, technician, response)
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
)
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
group by vehicle, corner, visit, phase, gauge, technician, response
