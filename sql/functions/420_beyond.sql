-- How far a value lies outside middle +- tolerance, signed as the change that would bring it to the edge: 0 inside, and
-- where the middle is NULL.
create or replace temp macro change_needed(x, middle, tolerance) as
    case
        when x < middle - tolerance then middle - tolerance - x
        when x > middle + tolerance then middle + tolerance - x
        else cast(0 as double)
    end;
-- P(lower <= X <= upper and the same for Y) for normal X and Y given by means, variances and covariance; a NULL limit is none.
create or replace temp macro normal_box(mean_x, var_x, mean_y, var_y, cov, low_x, high_x, low_y, high_y) as
    bivariate_normal_rectangle(
        coalesce((low_x - mean_x) / sqrt(var_x), -1e3),
        coalesce((high_x - mean_x) / sqrt(var_x), 1e3),
        coalesce((low_y - mean_y) / sqrt(var_y), -1e3),
        coalesce((high_y - mean_y) / sqrt(var_y), 1e3),
        cov / sqrt(var_x * var_y)
    );
-- Move (mm) that changes camber and caster by the needed amounts; where one of them is not asked for (NULL), the shortest one.
create or replace temp macro move_needed(camber_slope, caster_slope, camber_change, caster_change) as
    case
        when camber_change is null then {
            'out_mm': caster_change * caster_slope.slope_out / (
                power(caster_slope.slope_out, 2) + power(caster_slope.slope_aft, 2)
            ),
            'aft_mm': caster_change * caster_slope.slope_aft / (
                power(caster_slope.slope_out, 2) + power(caster_slope.slope_aft, 2)
            )
        }
        when caster_change is null then {
            'out_mm': camber_change * camber_slope.slope_out / (
                power(camber_slope.slope_out, 2) + power(camber_slope.slope_aft, 2)
            ),
            'aft_mm': camber_change * camber_slope.slope_aft / (
                power(camber_slope.slope_out, 2) + power(camber_slope.slope_aft, 2)
            )
        }
        else {
            'out_mm': (camber_change * caster_slope.slope_aft - caster_change * camber_slope.slope_aft)
                / (camber_slope.slope_out * caster_slope.slope_aft - camber_slope.slope_aft * caster_slope.slope_out),
            'aft_mm': (caster_change * camber_slope.slope_out - camber_change * caster_slope.slope_out)
                / (camber_slope.slope_out * caster_slope.slope_aft - camber_slope.slope_aft * caster_slope.slope_out)
        }
    end;
