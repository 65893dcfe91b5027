-- title: Starting values of the robust fits
-- grain: one row per chassis and response
-- source: moves, slope_priors
-- missing: none; an axis without moves starts at 0
-- Three deterministic candidates (least squares; medians of change/move by the axis that dominates a move, alternated;
-- the geometric prior); the one whose residuals have the smallest median of |residual| * sqrt(weight) starts the fit.
-- column chassis VARCHAR: platform code
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column start VARCHAR: least_squares medians prior
-- column slope_out DOUBLE [deg/mm]: starting slope, outboard
-- column slope_aft DOUBLE [deg/mm]: starting slope, rearward
-- column median_abs_deg DOUBLE [deg]: median of |residual| * sqrt(weight)
-- column move_count BIGINT: moves
with
fits as (
    select chassis, response, cast(row_number() over (order by chassis, response) as integer) as fit
    from (select distinct chassis, response from moves)
),
points as (
    select fit, move_out_mm, move_aft_mm, change_deg, weight
    from moves
    inner join fits using (chassis, response)
),
least_squares as (
    select
        fit,
        solve_two(
            grid_sum(weight * move_out_mm * move_out_mm),
            grid_sum(weight * move_out_mm * move_aft_mm),
            grid_sum(weight * move_aft_mm * move_aft_mm),
            grid_sum(weight * move_out_mm * change_deg),
            grid_sum(weight * move_aft_mm * change_deg)
        ) as slopes
    from points
    group by fit
),
priors as (
    select
        response,
        max(mean_deg_per_mm) filter (where axis = 'out') as prior_out,
        max(mean_deg_per_mm) filter (where axis = 'aft') as prior_aft
    from slope_priors
    group by response
),
first_out as (
    select fit, median(change_deg / move_out_mm) as slope_out
    from points
    where abs(move_out_mm) >= abs(move_aft_mm)
    group by fit
),
first_aft as (
    select
        points.fit,
        median((change_deg - coalesce(slope_out, 0) * move_out_mm) / move_aft_mm) as slope_aft
    from points
    left join first_out using (fit)
    where abs(move_aft_mm) > 0.25 * abs(move_out_mm)
    group by points.fit
),
second_out as (
    select
        points.fit,
        median((change_deg - coalesce(slope_aft, 0) * move_aft_mm) / move_out_mm) as slope_out
    from points
    left join first_aft using (fit)
    where abs(move_out_mm) > 0.25 * abs(move_aft_mm)
    group by points.fit
),
candidates as (
    select
        fits.fit,
        fits.chassis,
        fits.response,
        coalesce(slopes.out, 0) as squares_out,
        coalesce(slopes.aft, 0) as squares_aft,
        coalesce(second_out.slope_out, 0) as medians_out,
        coalesce(first_aft.slope_aft, 0) as medians_aft,
        prior_out,
        prior_aft
    from fits
    inner join priors using (response)
    inner join least_squares using (fit)
    left join second_out using (fit)
    left join first_aft using (fit)
),
judged as (
    select
        fit,
        median(sqrt(weight) * abs(change_deg - squares_out * move_out_mm - squares_aft * move_aft_mm)) as squares_deg,
        median(sqrt(weight) * abs(change_deg - medians_out * move_out_mm - medians_aft * move_aft_mm)) as medians_deg,
        median(sqrt(weight) * abs(change_deg - prior_out * move_out_mm - prior_aft * move_aft_mm)) as prior_deg,
        count(*) as move_count
    from points
    inner join candidates using (fit)
    group by fit
),
chosen as (
    select
        *,
        least(squares_deg, medians_deg, prior_deg) as median_abs_deg,
        case median_abs_deg when squares_deg then 'least_squares' when medians_deg then 'medians' else 'prior' end as start
    from candidates
    inner join judged using (fit)
)
select
    chassis,
    response,
    start,
    case start when 'least_squares' then squares_out when 'medians' then medians_out else prior_out end as slope_out,
    case start when 'least_squares' then squares_aft when 'medians' then medians_aft else prior_aft end as slope_aft,
    median_abs_deg,
    move_count
from chosen
