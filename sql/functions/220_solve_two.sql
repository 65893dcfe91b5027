-- solve_normal_equations for two unknowns in closed form, with its rule: out is taken first, an empty column or one that is
-- a multiple of the other is NULL. Struct of out and aft.
create or replace temp macro solve_two(xx_oo, xx_oa, xx_aa, xy_o, xy_a) as
    case
        when xx_oo > 0 and xx_oo * xx_aa - xx_oa * xx_oa > 1e-13 * xx_oo * xx_aa
        then {
            'out': (xx_aa * xy_o - xx_oa * xy_a) / (xx_oo * xx_aa - xx_oa * xx_oa),
            'aft': (xx_oo * xy_a - xx_oa * xy_o) / (xx_oo * xx_aa - xx_oa * xx_oa)
        }
        when xx_oo > 0 then {'out': xy_o / xx_oo, 'aft': cast(null as double)}
        when xx_aa > 0 then {'out': cast(null as double), 'aft': xy_a / xx_aa}
    end;
