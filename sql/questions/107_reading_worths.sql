-- What one reading of an angle is worth, one row per angle and reader of reader_noise (0: anyone else): a struct of one, the variance of
-- a reading, shared, the part of it that repeats of one state have in common, set_up, of it
-- mounting, what another mounting changes, bias and bias_var; walk, see reader_noise.
-- A noise known from the prior alone gives way to what the residuals of all moves tell.
create or replace temp macro reading_worths() as table
with
-- The residuals of all moves tell, two readings each, averaged with the prior at the weight of 5 moves.
by_moves as (
    select
        priors.response,
        (coalesce(exact_sum(noise_var_deg2 * noise_df), 0) / 2 + 5 * power(any_value(noise_sd_deg), 2))
            / (coalesce(exact_sum(noise_df), 0) + 5) as noise_var
    from angle_priors as priors
    left join sensitivities using (response)
    group by priors.response
)
-- Repeats and untouched sessions of the gauges tell more. Moves tell of means, whatever number of repeats they have.
select
    reader,
    response,
    {
        'one': case noise_source when 'prior' then noise_var else one_var_deg2 end,
        'shared': case noise_source when 'prior' then noise_var else shared_var_deg2 end,
        'set_up': set_up_var_deg2,
        'mounting': mounting_var_deg2,
        'bias': bias_deg,
        'bias_var': bias_var_deg2,
        'walk': walk
    } as worth
from reader_noise
inner join by_moves using (response)
where reader >= 0;
