-- title: Repeatability and bias of gauges and people
-- grain: one row per gauge of the readings, person, or confounded pair, and angle that it read
-- source: reading_noise, repeat_cells, readers, gauge_effects, gauge_variances, set_ups, reader_biases
-- missing: bias_deg is NULL with the reason in bias_missing; repeatability_deg of a person is NULL without repeats
-- Readings without a gauge are a row of their own, (not named), where there are any beside gauges with names.
-- Smallest change to believe: 95 % two-sided limit of the difference of two means when nothing changed, t times
-- sqrt(2 / n) times the repeatability, with four more degrees of freedom than the data give where the prior took part.
-- True bias: of several people who read with a gauge that of the one who is known best, of two of the first by number.
-- column kind VARCHAR: gauge technician pair
-- column name VARCHAR: gauge, person, or both
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column reading_count BIGINT: readings of this angle
-- column repeatability_deg DOUBLE [deg]: standard deviation of one reading
-- column repeatability_low_deg DOUBLE [deg]: its 95 % interval by chi-square, with four degrees of freedom of the others where they took part
-- column repeatability_high_deg DOUBLE [deg]: the same
-- column df DOUBLE: degrees of freedom of its own data
-- column source VARCHAR: repeats sessions typical prior
-- column outlier_count BIGINT: repeats left out as mistakes of writing
-- column bias_deg DOUBLE [deg]: what it adds, relative to the average of those compared, shrunken
-- column bias_std_error_deg DOUBLE [deg]: its standard error
-- column bias_missing VARCHAR: why there is none
-- column between_sd_deg DOUBLE [deg]: standard deviation between gauges, people or pairs, by REML
-- column believable_change_deg DOUBLE [deg]: smallest believable change, one reading before and one after
-- column believable_change_of_three_deg DOUBLE [deg]: the same, means of three readings
-- column believable_change_of_visits_deg DOUBLE [deg]: the same between two visits, one reading each: two set-ups as well; gauges only
-- column set_up_deg DOUBLE [deg]: standard deviation of what a new set-up (clamps, rim, floor) adds, which repeats of one mounting do not show; gauges only
-- column set_up_low_deg DOUBLE [deg]: 95 % interval; NULL where repeatability_deg comes from sessions, which hold set-ups too
-- column set_up_high_deg DOUBLE [deg]: 95 % interval, likewise
-- column set_up_pair_count BIGINT: pairs of readings across visits that tell
-- column set_up_source VARCHAR: visits typical prior (never repeated over a mounting)
-- column true_bias_deg DOUBLE [deg]: what it adds to the true angle, as far as known; gauges only
-- column true_bias_std_error_deg DOUBLE [deg]: standard error of that: what all gauges have in common only readings of references show
-- column walk_deg_per_week DOUBLE [deg]: how far its bias moves in a week, if it walks; NULL where too few readings tell
-- column walk_std_error_deg_per_week DOUBLE [deg]: its standard error
-- column walk_weeks DOUBLE [weeks]: time over which it was looked at
-- column walks BOOLEAN: its bias moves at one rate, more likely than not
-- column p_walks DOUBLE: probability of that, from its own returns to a setting and what it and others read of one
with
counts as (
    select
        gauge,
        technician,
        unnest([
            {'response': 'camber_deg', 'reading_count': camber_reading_count},
            {'response': 'caster_deg', 'reading_count': caster_reading_count},
            {'response': 'toe_deg', 'reading_count': toe_reading_count},
            {'response': 'sai_deg', 'reading_count': sai_reading_count}
        ], recursive := true)
    from readers
),
people as (
    select
        technician,
        response,
        nullif(fine_sum(df), 0) as df,
        fine_sum(df * var_deg2) as square,
        cast(sum(outlier_count) as bigint) as outlier_count
    from repeat_cells
    where technician is not null
    group by technician, response
),
gauges as (
    select
        'gauge' as kind,
        gauge as name,
        response,
        reading_count,
        sd_deg as repeatability_deg,
        conf_low_deg as repeatability_low_deg,
        conf_high_deg as repeatability_high_deg,
        df,
        df + 4 as used_df,
        source,
        outlier_count
    from reading_noise
    where gauge is not null and reading_count > 0
),
unnamed as (
    select
        'gauge' as kind,
        '(not named)' as name,
        counts.response,
        cast(sum(counts.reading_count) as bigint) as reading_count,
        any_value(sd_deg) as repeatability_deg,
        any_value(df) + 4 as used_df,
        case any_value(source) when 'prior' then 'prior' else 'typical' end as source
    from counts
    inner join (select response, sd_deg, df, source from reading_noise where gauge is null) as typical using (response)
    where counts.gauge is null and exists (select 1 from counts as named where named.gauge is not null)
    group by counts.response
    having sum(counts.reading_count) > 0
),
technicians as (
    select
        'technician' as kind,
        technician as name,
        response,
        cast(sum(reading_count) as bigint) as reading_count,
        sqrt(any_value(square) / any_value(people.df)) as repeatability_deg,
        sqrt(any_value(square) / chi2_quantile(0.975, any_value(people.df))) as repeatability_low_deg,
        sqrt(any_value(square) / chi2_quantile(0.025, any_value(people.df))) as repeatability_high_deg,
        any_value(people.df) as df,
        any_value(people.df) as used_df,
        case when any_value(people.df) > 0 then 'repeats' end as source,
        any_value(people.outlier_count) as outlier_count
    from counts
    left join people using (technician, response)
    where technician is not null and reading_count > 0
    group by technician, response
),
pairs as (
    select
        effects.kind,
        effects.name,
        effects.response,
        cast(coalesce(sum(reading_count), 0) as bigint) as reading_count
    from gauge_effects as effects
    left join counts
        on counts.response = effects.response
        and counts.gauge = effects.gauge
        and counts.technician is not distinct from effects.technician
    where effects.kind = 'pair'
    group by effects.kind, effects.name, effects.response
),
everyone as (
    select * from gauges
    union all by name select * from unnamed
    union all by name select * from technicians
    union all by name select * from pairs
),
gauge_biases as (
    select
        readers.gauge,
        response,
        arg_min(step_deg, {'step_var': round(step_var_deg2, 12), 'reader': reader_2}) as step_deg,
        min(step_var_deg2) as step_var_deg2
    from reader_biases
    inner join readers on readers.reader = reader_2
    where reader_1 is null
    group by readers.gauge, response
)
select
    everyone.kind,
    everyone.name,
    everyone.response,
    reading_count,
    repeatability_deg,
    repeatability_low_deg,
    repeatability_high_deg,
    coalesce(everyone.df, 0) as df,
    everyone.source,
    coalesce(outlier_count, 0) as outlier_count,
    bias_deg,
    case when bias_deg is not null then sqrt(bias_var_deg2) end as bias_std_error_deg,
    case
        when bias_deg is not null then null
        when confounded and everyone.kind <> 'pair' then 'confounded: each person used one gauge only; see the pairs'
        else 'never compared with another ' || case everyone.kind when 'technician' then 'person' else 'gauge' end
            || ' on one setting'
    end as bias_missing,
    case everyone.kind when 'technician' then sqrt(technician_var) else sqrt(gauge_var) end as between_sd_deg,
    t_quantile(0.975, used_df) * sqrt(2) * repeatability_deg as believable_change_deg,
    t_quantile(0.975, used_df) * sqrt(2.0 / 3) * repeatability_deg as believable_change_of_three_deg,
    t_quantile(0.975, used_df) * sqrt(2 * (power(repeatability_deg, 2) + set_up_var_deg2))
        as believable_change_of_visits_deg,
    sqrt(set_up_var_deg2) as set_up_deg,
    case when everyone.source <> 'sessions' then low_deg end as set_up_low_deg,
    case when everyone.source <> 'sessions' then high_deg end as set_up_high_deg,
    pair_count as set_up_pair_count,
    set_ups.source as set_up_source,
    step_deg as true_bias_deg,
    sqrt(step_var_deg2) as true_bias_std_error_deg,
    walk_deg_per_week,
    walk_std_error_deg_per_week,
    walk_weeks,
    case when pair_count is not null then coalesce(p_walks >= 0.5, false) end as walks,
    p_walks
from everyone
cross join (select count(*) > 0 as confounded from gauge_effects where kind = 'pair') as confounding
left join gauge_effects as effects
    on effects.kind = everyone.kind and effects.name = everyone.name and effects.response = everyone.response
left join gauge_variances as variances
    on variances.response = everyone.response and not (confounded and everyone.kind <> 'pair')
left join set_ups on everyone.kind = 'gauge' and everyone.name = coalesce(set_ups.gauge, '(not named)')
    and set_ups.response = everyone.response
left join gauge_biases
    on gauge_biases.gauge is not distinct from set_ups.gauge and gauge_biases.response = set_ups.response
