-- title: How far bearings stand off their marks
-- grain: one row per kit with moves from mark to mark
-- source: moves, sensitivities, slope_estimates, states, plates, reading_noise
-- missing: no row for a kit of which no move tells
-- computed by: src/stats/tables
-- What slopes leave of camber, caster, SAI and toe of one move lies along their slopes where the bearing stands off its marks, in each angle by
-- itself where the gauge erred. Factor model with known loadings (from memory): the errors of both marks are normal, `variance_ratio` times
-- what reading the pointer to mark_resolution leaves (uniform); the noise of an angle is that of the gauge times a factor of its
-- own, which counts as 5 moves at 1; one move of 200 slipped by 2 mm sd. Posterior of the ratio on a grid of logs, prior log-normal with
-- mean 1 and sd 1.2 of the log (common practice, no source). Ratios under 1 count as 1: a pointer can be set no nearer than it is read.
-- Of more than 512 moves those first by a hash. A visit's moves are those from its first state; equal ones are averaged.
-- column kit VARCHAR: kit
-- column variance_ratio DOUBLE: variance of a place about its marks in that of reading the pointer; posterior mean, at least 1
-- column conf_low_ratio DOUBLE: 95 % interval of it, under 1 too
-- column conf_high_ratio DOUBLE: the same
-- column move_count BIGINT: moves
-- column vehicle_count BIGINT: vehicles
with
placed as (
    select
        later.kit,
        moves.*,
        later.gauge
    from moves
    inner join states as later
        on later.vehicle = moves.vehicle and later.corner = moves.corner and later.visit = moves.visit
        and later.phase = moves.to_phase
    inner join (select kit, min(mark_error_mm2) as mark_error_mm2 from plates group by kit) as read_off
        on read_off.kit = later.kit
    -- An offset that was measured is read off no mark.
    where from_reader is null and moves.read_error_oo_mm2 + moves.read_error_aa_mm2 > 1.9 * mark_error_mm2
    qualify from_phase = min(from_phase) over (partition by moves.vehicle, moves.corner, moves.visit)
),
residuals as (
    select
        placed.*,
        change_deg - sensitivities.slope_out * move_out_mm - sensitivities.slope_aft * move_aft_mm as residual_deg,
        sensitivities.slope_out,
        sensitivities.slope_aft,
        2 * reading_noise.sd_deg * reading_noise.sd_deg as noise_var_deg2
    from placed
    inner join sensitivities using (chassis, response)
    inner join slope_estimates using (chassis, response)
    inner join reading_noise
        on reading_noise.gauge is not distinct from placed.gauge and reading_noise.response = placed.response
    where basis = 'own'
        -- A move with weight 0 is a mistake.
        and weight * power(change_deg - fit_out * move_out_mm - fit_aft * move_aft_mm, 2) < end_deg * end_deg
)
select
    kit,
    cast(hash(vehicle, corner, visit, move_out_mm, move_aft_mm) // 4096 as double) as move,
    cast(hash(vehicle) // 4096 as double) as vehicle,
    response,
    fine_sum(weight * residual_deg) / fine_sum(weight) as residual_deg,
    max(noise_var_deg2) / fine_sum(weight) as noise_var_deg2,
    max(slope_out) as slope_out,
    max(slope_aft) as slope_aft,
    max(read_error_oo_mm2) as read_error_oo_mm2,
    max(read_error_oa_mm2) as read_error_oa_mm2,
    max(read_error_aa_mm2) as read_error_aa_mm2
from residuals
group by kit, vehicle, corner, visit, move_out_mm, move_aft_mm, response
order by kit, move, response
