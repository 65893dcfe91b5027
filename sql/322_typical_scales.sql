-- title: Scale of the residuals that is typical of all chassis
-- grain: one row per response
-- source: own_scales, slope_priors
-- missing: none
-- On a grid of sixteenths of an octave (at most 2.2 % off), so that new readings of one chassis seldom change it for the others.
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column scale_deg DOUBLE [deg]: median over chassis with more than 8 moves, or sqrt(2) times the prior noise of a reading
with
medians as (
    select
        priors.response,
        coalesce(
            median(own_scales.scale_deg) filter (where own_scales.move_count > 8),
            any_value(priors.noise_sd_deg) * sqrt(2)
        ) as scale_deg
    from (select distinct response, noise_sd_deg from slope_priors) as priors
    left join own_scales using (response)
    group by priors.response
)
select response, octave_grid(scale_deg, 16) as scale_deg
from medians
