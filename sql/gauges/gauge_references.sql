-- title: Error of gauges on known references
-- grain: one row per gauge and angle of the references
-- source: references, reading_noise
-- missing: error_var_deg2 is NULL with the reason in reason
-- Mean of reading less reference, and its combined variance (GUM, JCGM 100:2008, 4.2.3, 4.3 and 5.1.2; from memory): of one reference
-- that of its value, which all its readings share, and that of the mean of its readings. The variance of a reading is that of the
-- repeats here averaged with reading_noise at the weight of four degrees of freedom. Several references weigh by their variance;
-- where they differ by more than that, it grows by chi-square over its degrees of freedom (Birge 1932; from memory).
-- column gauge VARCHAR: measuring equipment
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column error_deg DOUBLE [deg]: mean of reading less reference
-- column error_var_deg2 DOUBLE [deg2]: its variance
-- column df DOUBLE: degrees of freedom of the repeats
-- column technician VARCHAR: who read them; NULL where several did or nobody is named
-- column technician_count BIGINT: people named
-- column reading_count BIGINT: readings of references
-- column reference_count BIGINT: references that were read
-- column first_on VARCHAR: day of the first of them, ISO 8601
-- column last_on VARCHAR: day of the last
-- column reason VARCHAR: why there is no variance
with
told as (
    select
        gauge,
        angle || '_deg' as response,
        coalesce(reference, '') as reference,
        reading_deg - reference_deg as error_deg,
        reference_uncertainty_deg,
        reading_day(measured_at) as day
    from "references"
),
pieces as (
    select
        gauge,
        response,
        reference,
        count(*) as reading_count,
        exact_mean(error_deg) as error_deg,
        exact_mean(reference_uncertainty_deg) as uncertainty_deg,
        greatest(exact_sum(error_deg * error_deg) - count(*) * exact_mean(error_deg) * exact_mean(error_deg), 0)
            as square,
        min(day) as first_on,
        max(day) as last_on
    from told
    group by gauge, response, reference
),
scattered as (
    select gauge, response, exact_sum(square) as square, cast(sum(reading_count - 1) as double) as df
    from pieces
    group by gauge, response
),
noises as (
    select
        scattered.*,
        coalesce(own.shared_var_deg2, typical.shared_var_deg2, 0) as shared_var,
        case
            when typical.sd_deg is not null
            then (square + 4 * power(coalesce(own.sd_deg, typical.sd_deg), 2)) / (scattered.df + 4)
            when scattered.df > 0 then square / scattered.df
        end as one_var
    from scattered
    left join reading_noise as own on own.gauge = scattered.gauge and own.response = scattered.response
    left join (select * from reading_noise where gauge is null) as typical on typical.response = scattered.response
),
rated as (
    select
        pieces.*,
        df,
        uncertainty_deg * uncertainty_deg
            + mean_var(greatest(one_var, shared_var), shared_var, pieces.reading_count) as error_var
    from pieces
    inner join noises using (gauge, response)
),
people as (
    select
        gauge,
        angle || '_deg' as response,
        case when count(distinct technician) = 1 and count(technician) = count(*) then min(technician) end
            as technician,
        count(distinct technician) as technician_count
    from "references"
    group by gauge, angle
),
weighed as (
    select
        gauge,
        response,
        any_value(df) as df,
        cast(sum(reading_count) as bigint) as reading_count,
        count(*) as reference_count,
        case when min(error_var) > 0 then exact_sum(error_deg / error_var) / exact_sum(1 / error_var)
            else exact_mean(error_deg) end as error_deg,
        case when min(error_var) > 0 then exact_sum(1 / error_var) end as weight,
        cast(min(first_on) as varchar) as first_on,
        cast(max(last_on) as varchar) as last_on
    from rated
    group by gauge, response
),
spread as (
    select gauge, response, exact_sum(power(rated.error_deg - weighed.error_deg, 2) / error_var) as chi2
    from rated
    inner join weighed using (gauge, response)
    where error_var > 0
    group by gauge, response
)
select
    gauge,
    response,
    round(error_deg, 9) as error_deg,
    case when reference_count > 1 then greatest(chi2 / (reference_count - 1), 1) else 1 end / weight as error_var_deg2,
    df,
    technician,
    technician_count,
    reading_count,
    reference_count,
    first_on,
    last_on,
    case when weight is null then 'nothing tells how well the gauge repeats: read the reference again, repeat 2, 3' end
        as reason
from weighed
inner join people using (gauge, response)
left join spread using (gauge, response)
