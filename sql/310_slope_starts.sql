-- title: Starting values of the robust fits
-- grain: one row per chassis and response
-- source: fit_points, slope_priors
-- missing: none; an axis without moves starts at 0
-- Three deterministic candidates (least squares; medians of change/move by the axis that dominates a move, alternated;
-- the geometric prior); the one whose residuals have the smallest median of |residual| * sqrt(weight) starts the fit.
-- column fit INTEGER: number of the chassis and response
-- column chassis VARCHAR: platform code
-- column response VARCHAR: camber_deg caster_deg toe_deg sai_deg
-- column start VARCHAR: least_squares medians prior
-- column slope_out DOUBLE [deg/mm]: starting slope, outboard
-- column slope_aft DOUBLE [deg/mm]: starting slope, rearward
-- column median_abs_deg DOUBLE [deg]: median of |residual| * sqrt(weight)
-- column move_count BIGINT: moves
with
least_squares as (
    select
        fit,
        any_value(response) as response,
        solve_normal_equations(
            [
                [grid_sum(weight * move_out_mm * move_out_mm), grid_sum(weight * move_out_mm * move_aft_mm)],
                [grid_sum(weight * move_out_mm * move_aft_mm), grid_sum(weight * move_aft_mm * move_aft_mm)]
            ],
            [grid_sum(weight * move_out_mm * change_deg), grid_sum(weight * move_aft_mm * change_deg)]
        ) as slopes
    from fit_points
    group by fit
),
priors as (
    select
        response,
        max(mean_deg_per_mm) filter (where axis = 'out') as slope_out,
        max(mean_deg_per_mm) filter (where axis = 'aft') as slope_aft
    from slope_priors
    group by response
),
first_out as (
    select fit, median(change_deg / move_out_mm) as slope_out
    from fit_points
    where abs(move_out_mm) >= abs(move_aft_mm)
    group by fit
),
first_aft as (
    select
        fit_points.fit,
        median((change_deg - coalesce(slope_out, 0) * move_out_mm) / move_aft_mm) as slope_aft
    from fit_points
    left join first_out using (fit)
    where abs(move_aft_mm) > 0.25 * abs(move_out_mm)
    group by fit_points.fit
),
second_out as (
    select
        fit_points.fit,
        median((change_deg - coalesce(slope_aft, 0) * move_aft_mm) / move_out_mm) as slope_out
    from fit_points
    left join first_aft using (fit)
    where abs(move_out_mm) > 0.25 * abs(move_aft_mm)
    group by fit_points.fit
),
candidates as (
    select fit, 1 as rank, 'least_squares' as start, coalesce(slopes[1], 0) as slope_out, coalesce(slopes[2], 0) as slope_aft
    from least_squares
    union all
    select
        least_squares.fit,
        2 as rank,
        'medians' as start,
        coalesce(second_out.slope_out, 0) as slope_out,
        coalesce(first_aft.slope_aft, 0) as slope_aft
    from least_squares
    left join second_out using (fit)
    left join first_aft using (fit)
    union all
    select fit, 3 as rank, 'prior' as start, slope_out, slope_aft
    from least_squares
    inner join priors using (response)
),
judged as (
    select
        fit,
        any_value(fit_points.chassis) as chassis,
        any_value(fit_points.response) as response,
        rank,
        start,
        candidates.slope_out,
        candidates.slope_aft,
        median(sqrt(weight) * abs(change_deg - candidates.slope_out * move_out_mm - candidates.slope_aft * move_aft_mm)) as median_abs_deg,
        count(*) as move_count
    from candidates
    inner join fit_points using (fit)
    group by fit, rank, start, candidates.slope_out, candidates.slope_aft
)
select
    fit,
    chassis,
    response,
    start,
    slope_out,
    slope_aft,
    median_abs_deg,
    move_count
from judged
qualify row_number() over (partition by fit order by median_abs_deg, rank) = 1
