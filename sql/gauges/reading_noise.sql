-- title: Standard deviation of one reading
-- grain: one row per gauge of the readings and angle, and one per angle with gauge NULL: the typical one, for readings without a gauge too
-- source: readers, repeat_cells, undisturbed_spreads, angle_priors, display_steps
-- missing: own_sd_deg and the interval are NULL where a gauge has neither repeats nor session changes of its own
-- A reading as the display shows it: variance before rounding plus step^2 / 12, of which shared_var_deg2 is the same in all repeats: by the gauge's own
-- repeats where these say less than what is used, so that repeats which show one digit do not average its rounding away.
-- Priors, and what one gauge says of another, are of displays in hundredths, whose rounding is part of them.
-- Variance of the mean of n repeats: shared_var_deg2 + (sd_deg^2 - shared_var_deg2) / n.
-- Three sources, best first. Repeats: pooled standard deviation of readings of one state by one gauge and person (NIST/SEMATECH
-- e-Handbook 2.4.4.1), from 5 degrees of freedom on.
-- Sessions: changes of corners that the session left alone, from 10 on; they hold what differs from one set-up to the next as
-- well. Prior: angle_priors. The square of a gauge's own one is averaged with four degrees of freedom of the typical one, and
-- that with four of the prior (inverse chi-square prior, Gelman and others, Bayesian Data Analysis, 3rd ed. 2013, section 2.6;
-- from memory), so that few readings do not make a gauge look perfect.
-- column gauge VARCHAR: measuring equipment; NULL = typical
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column sd_deg DOUBLE [deg]: standard deviation of one reading, to be used
-- column shared_var_deg2 DOUBLE [deg2]: part of its variance that repeats of one state have in common: rounding to the same digit
-- column step_deg DOUBLE [deg]: step of the display, 0 = none
-- column own_sd_deg DOUBLE [deg]: from the gauge's own data alone
-- column df DOUBLE: degrees of freedom of own_sd_deg, 0 = none
-- column reading_count BIGINT: readings of this angle
-- column outlier_count BIGINT: repeats left out as mistakes
-- column sd_of_all_deg DOUBLE [deg]: own repeatability with these; NULL where there are none
-- column conf_low_deg DOUBLE [deg]: 95 % interval of sd_deg by chi-square, with the four degrees of freedom
-- column conf_high_deg DOUBLE [deg]: the same
-- column source VARCHAR: repeats sessions typical prior; typical = the row with gauge NULL
with
counted as (
    select
        gauge,
        unnest([
            {'response': 'camber_deg', 'reading_count': sum(camber_reading_count)},
            {'response': 'caster_deg', 'reading_count': sum(caster_reading_count)},
            {'response': 'toe_deg', 'reading_count': sum(toe_reading_count)},
            {'response': 'sai_deg', 'reading_count': sum(sai_reading_count)}
        ], recursive := true)
    from readers
    group by grouping sets ((gauge), ())
    having gauge is not null or grouping(gauge) = 1
),
roundings as (
    select gauge, response, power(step_deg, 2) / 12 as rounding_var,
        least(rounding_var, power(0.01, 2) / 12) as fine_var, step_deg
    from display_steps
),
-- Of each gauge, and of all with gauge NULL.
repeats as (
    select
        repeat_cells.gauge,
        repeat_cells.response,
        sum(outlier_count) as outlier_count,
        nullif(fine_sum(df), 0) as df,
        fine_sum(df * (var_deg2 + fine_var)) as square,
        case when sum(outlier_count) > 0 and repeat_cells.gauge is not null
            then sqrt(fine_sum(df * var_of_all_deg2) / nullif(fine_sum(df), 0)) end as sd_of_all_deg
    from repeat_cells
    inner join roundings on roundings.gauge is not distinct from repeat_cells.gauge
        and roundings.response = repeat_cells.response
    group by grouping sets ((repeat_cells.gauge, repeat_cells.response), (repeat_cells.response))
    having repeat_cells.gauge is not null or grouping(repeat_cells.gauge) = 1
),
undisturbed as (
    select
        undisturbed_spreads.gauge,
        undisturbed_spreads.response,
        cast(sum(change_count) as double) as df,
        exact_sum(greatest(sd_deg * sd_deg - coalesce(rounding_var - fine_var, 0), 0) * change_count) as square
    from undisturbed_spreads
    left join roundings
        on roundings.gauge is not distinct from undisturbed_spreads.gauge
            and roundings.response = undisturbed_spreads.response
    group by grouping sets (
        (undisturbed_spreads.gauge, undisturbed_spreads.response), (undisturbed_spreads.response)
    )
    having undisturbed_spreads.gauge is not null or grouping(undisturbed_spreads.gauge) = 1
),
sourced as (
    select
        gauges.gauge,
        priors.response,
        noise_sd_deg * noise_sd_deg as prior_var,
        repeats.outlier_count,
        sd_of_all_deg,
        case
            when repeats.df >= 5 then 'repeats'
            when undisturbed.df >= 10 then 'sessions'
            when repeats.df > 0 then 'repeats'
        end as own_source,
        case own_source when 'repeats' then repeats.df when 'sessions' then undisturbed.df else 0 end as own_df,
        case own_source when 'repeats' then repeats.square when 'sessions' then undisturbed.square else 0 end
            as own_square
    from (select distinct gauge from readers where gauge is not null union all select null) as gauges
    cross join angle_priors as priors
    left join repeats on repeats.gauge is not distinct from gauges.gauge and repeats.response = priors.response
    left join undisturbed on undisturbed.gauge is not distinct from gauges.gauge
        and undisturbed.response = priors.response
),
typical_vars as (
    select
        response,
        case
            when own_df > 0 then (own_square + 4 * prior_var) / (own_df + 4)
            else prior_var
        end as typical_var,
        coalesce(own_source, 'prior') as typical_source
    from sourced
    where gauge is null
),
used as (
    select
        sourced.*,
        coalesce(step_deg, 0) as step_deg,
        coalesce(rounding_var, 0) as rounding_var,
        coalesce(fine_var, 0) as fine_var,
        coalesce(rounding_var - fine_var, 0) as coarse_var,
        case
            when sourced.gauge is null or own_df = 0 then typical_var
            else (own_square + 4 * typical_var) / (own_df + 4)
        end as repeat_var,
        repeat_var * (own_df + 4) as used_square,
        typical_source
    from sourced
    inner join typical_vars using (response)
    left join roundings on roundings.gauge is not distinct from sourced.gauge and roundings.response = sourced.response
)
select
    used.gauge,
    used.response,
    sqrt(repeat_var + coarse_var) as sd_deg,
    case
        when used.step_deg > 0
        then rounding_var * shared_rounding(sqrt(greatest(least(repeat_var,
            coalesce(own_square / nullif(own_df, 0), repeat_var)) - fine_var, 0)) / used.step_deg)
        else 0
    end as shared_var_deg2,
    used.step_deg,
    case when own_df > 0 then sqrt(own_square / own_df + coarse_var) end as own_sd_deg,
    own_df as df,
    cast(coalesce(reading_count, 0) as bigint) as reading_count,
    cast(coalesce(outlier_count, 0) as bigint) as outlier_count,
    sd_of_all_deg,
    case when own_df > 0 then sqrt(used_square / chi2_quantile(0.975, own_df + 4) + coarse_var) end as conf_low_deg,
    case when own_df > 0 then sqrt(used_square / chi2_quantile(0.025, own_df + 4) + coarse_var) end as conf_high_deg,
    case
        when own_source is not null then own_source
        when used.gauge is null or typical_source = 'prior' then 'prior'
        else 'typical'
    end as source
from used
left join counted on counted.gauge is not distinct from used.gauge and counted.response = used.response
